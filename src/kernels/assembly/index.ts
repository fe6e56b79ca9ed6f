export { takeOffCorners } from './branches';
export { squaredDistance } from './distance';
export { findRuns, numberRegions } from './regions';
export { connectLines, listRegion, tellThick } from './thin-places';
export { thin } from './thinning';
