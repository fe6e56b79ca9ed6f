export { blurBySamples, blurRecursively } from './blur';
export { takeOffCorners } from './branches';
export { countDifferent, countSet, markBeyond, markFrom } from './counts';
export { addOutline, sumUpCells } from './coverage';
export { squaredDistance } from './distance';
export { fillRows, flipInside } from './rasterise';
export { findRuns, numberRegions } from './regions';
export { connectLines, listRegion, tellThick } from './thin-places';
export { thin } from './thinning';
