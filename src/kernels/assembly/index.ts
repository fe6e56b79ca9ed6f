export { blurRecursively, blurBySamples } from './blur';
export { pruneCornerBranches } from './branches';
export { countDifferent, countSet, markBeyond } from './counts';
export { BROKEN, chooseCurves, CURVE_ROWS } from './curves';
export { mostPoints, SAMPLE_VALUES } from './stretch';
export { FAR, ROW_EXTRA, squaredDistance } from './distance';
export { fitCubic } from './fit';
export { SMOOTHING_ROWS, smoothCurvature, startCurvatureSmoothing } from './curvature-smoothing';
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
  negateMarked,
} from './pointwise';
export {
  addRow,
  filterRow,
  gatherRow,
  laySquare,
  multiplyRow,
  poolRow,
  TOGETHER,
} from './convolution';
export { findRuns, numberRegions } from './regions';
export { factorRing, solveRing } from './ring';
export { classifyThickness, connectLines, JOINS, listRegion, LOOSE } from './narrow-branches';
export { ANCHOR, BODY, EMPTY, thin } from './thinning';
export { blockMeansOfBytes, blockMeansOfReals, interpolateBilinear } from './scaling';
