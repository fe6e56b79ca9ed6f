export { blurBySamples, blurRecursively } from './blur';
export { takeOffCorners } from './branches';
export { compareSlopes, findRidges, weighRidges } from './contours';
export { countDifferent, countSet, markBeyond, markFrom } from './counts';
export { addOutline, sumUpCells } from './coverage';
export { chooseCurves } from './curves';
export { squaredDistance } from './distance';
export { takeEdgePoints } from './edge-points';
export { setFilm } from './film';
export { fitCubic } from './fit';
export { calmBy, countWhole, growImportance, standOut } from './saliency';
export { beginIroning, iron } from './curvature-smoothing';
export { markOutline, matchOutline } from './likeness';
export { openAlong } from './open-along';
export { packRows } from './packing';
export { addShare, takeLarger, weighMatch } from './places';
export {
  differ,
  drawLevels,
  markUnder,
  mixParts,
  multiply,
  soften,
  stretch,
  subtract,
  sumOf,
  turnSigns,
} from './pointwise';
export { fillRows, flipInside } from './rasterise';
export { findRuns, numberRegions } from './regions';
export { factorRing, solveRing } from './ring';
export { measureRoom, stepsUntil } from './clearance';
export { blockMeansOfBytes, blockMeansOfReals, makeFiner } from './scaling';
export { blurAlong, smoothAlike } from './smoothing';
export { connectLines, listRegion, tellThick } from './narrow-branches';
export { thin } from './thinning';
export { measureGiven, measureTies } from './ties';
export { markUnfounded } from './unsupported-regions';
