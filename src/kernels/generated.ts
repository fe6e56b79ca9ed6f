/** Made by compile.mjs from assembly/: each kernel with the types of its source. */
import { call } from './memory.js';

/**
 * Blurs by a recursive filter along the rows, then along the columns; the picture is continued by its mirror image.
 *
 * @param data the picture; what comes out of it
 * @param turned room for as many numbers
 * @param line, source room for the longer side and twice `reach`
 * @param reach how far outside the picture the recursion starts, in px
 * @param filter the filter's numbers: n0 … n3, d1 … d4, m1 … m4, then what the recursions to the right and to the left
 *   give in the long run for one that is fed
 * @param scale what the sum of both is multiplied by
 */
export function blurRecursively(
  data: Float32Array,
  width: number,
  height: number,
  turned: Float32Array,
  line: Float64Array,
  source: Int32Array,
  reach: number,
  filter: Float64Array,
  scale: number,
): void {
  call('blurRecursively', { data, width, height, turned, line, source, reach, filter, scale });
}

/** The same by a sampled kernel of 2 × `reach` + 1 weights, whose sum is given. */
export function blurBySamples(
  data: Float32Array,
  width: number,
  height: number,
  turned: Float32Array,
  line: Float64Array,
  source: Int32Array,
  reach: number,
  weights: Float64Array,
  sum: number,
): void {
  call('blurBySamples', { data, width, height, turned, line, source, reach, weights, sum });
}

/**
 * Takes off the branches of a thinned region that only lead into its corners.
 *
 * Thinning leaves a branch from the thick part into each corner. Along such a branch the region narrows evenly
 * down to the tip; along a line that is too thin it narrows at once and then stays so. Only the first kind goes.
 *
 * @param mask what `thin` left: BODY pixels are lines, ANCHOR pixels the thick part; the branches become EMPTY
 * @param lines the BODY pixels in order, `count` of them; those that are left, in place
 * @param squared squared distance in px² from each pixel of the region to what lies outside it
 * @param leastTaper how much narrower, in px of half width a px of length, a corner has to become: the sine of half
 *   its angle; what narrows more slowly is a line
 * @param branch, along room for `count` pixels, and one more
 * @returns how many pixels of lines are left
 */
export function pruneCornerBranches(
  mask: Uint8Array,
  width: number,
  lines: Int32Array,
  count: number,
  squared: Float32Array,
  leastTaper: number,
  branch: Int32Array,
  along: Float64Array,
): number {
  return call('pruneCornerBranches', {
    mask,
    width,
    lines,
    count,
    squared,
    leastTaper,
    branch,
    along,
  });
}

/** In how many of `n` bytes two arrays differ. */
export function countDifferent(a: Uint8Array, b: Uint8Array, n: number): number {
  return call('countDifferent', { a, b, n });
}

/** How many of `n` bytes are not 0. */
export function countSet(data: Uint8Array, n: number): number {
  return call('countSet', { data, n });
}

/** Writes 1 where a whole number, or Infinity, is more than `limit`, else 0. */
export function markBeyond(values: Float32Array, n: number, limit: number, out: Uint8Array): void {
  call('markBeyond', { values, n, limit, out });
}

/** A line that does not go on in the directions of its ends: both are corners. */
export const BROKEN = 2;

/**
 * Chooses the fewest curves that follow a stretch of an outline: shortest path over its possible joints, where the
 * best way to each joint is its cost, where its last curve comes from, and that curve.
 *
 * @param n how many samples the outline has
 * @param samples `SAMPLE_VALUES` rows of `n`: the bent places' x and y, the traced ones', their normals', the room on both sides
 * @param start,steps the stretch's first sample, and how many steps it is to its last; they go round
 * @param corners whether its ends are corners
 * @param tightestMm the least radius of a bend
 * @param joints room for `mostPoints` numbers: the points at which curves may meet
 * @param cost,from,cubics,kind,offMm room for as many, eight times as many cubics: by joint the cost of the way there,
 *   the number of the joint before, the last curve, 0 a curve, 1 a line or 2 a line between two corners, and how far it
 *   runs off the traced points
 * @param rows room for `CURVE_ROWS` · `mostPoints` numbers
 * @returns how many joints there are
 */
export function chooseCurves(
  n: number,
  samples: Float64Array,
  start: number,
  steps: number,
  corners: number,
  tightestMm: number,
  joints: Int32Array,
  cost: Float64Array,
  from: Int32Array,
  cubics: Float64Array,
  kind: Uint8Array,
  offMm: Float64Array,
  rows: Float64Array,
): number {
  return call('chooseCurves', {
    n,
    samples,
    start,
    steps,
    corners,
    tightestMm,
    joints,
    cost,
    from,
    cubics,
    kind,
    offMm,
    rows,
  });
}

/** Numbers that the choosing keeps for itself, for each of the `mostPoints`. */
export const CURVE_ROWS = 11;

/** How many points the longest stretch of an outline of `n` samples has: all round, from a corner to itself. */
export function mostPoints(n: number): number {
  return call('mostPoints', { n });
}

/** How many values of a sample curves are chosen by: from `x` to `opening`, in the order above. */
export const SAMPLE_VALUES = 8;

/** More than any column of a raster is long, in px. */
export const FAR = 65535;

/** Numbers that `from` wants beyond a row's: short distances look that far over its ends. */
export const ROW_EXTRA = 40;

/**
 * The squared distance, in px², from each pixel's centre to the centre of the nearest pixel of value `to`.
 *
 * Felzenszwalb & Huttenlocher, "Distance transforms of sampled functions", Theory of Computing 8 (2012): columns
 * first, then the lower envelope of parabolas along each row. Along a row, nothing is looked at beyond the pixels of
 * value `to` at either end of a run without them: nothing further off can be nearer.
 *
 * @param beyond what is this far off along a column, in px, counts as not there; at most `FAR`
 * @param most the largest squared distance that is told
 * @param squared the distances: 0 on a pixel of value `to`, Infinity where there is none near enough
 * @param columns room for a number a pixel
 * @param vertex, from room for one row's parabolas, and from where on each is the lowest, with `ROW_EXTRA` more
 */
export function squaredDistance(
  data: Uint8Array,
  width: number,
  height: number,
  to: number,
  beyond: number,
  most: number,
  squared: Float32Array,
  columns: Uint16Array,
  vertex: Int32Array,
  from: Float64Array,
): void {
  call('squaredDistance', {
    data,
    width,
    height,
    to,
    beyond,
    most,
    squared,
    columns,
    vertex,
    from,
  });
}

/** Fits a curve to points, for a look at the fit alone: `beginFit`, and `improveFit` so many `rounds`. */
export function fitCubic(
  x: Float64Array,
  y: Float64Array,
  last: number,
  leaveX: number,
  leaveY: number,
  arriveX: number,
  arriveY: number,
  isFree: number,
  rounds: number,
  cubic: Float64Array,
  t: Float64Array,
): void {
  call('fitCubic', { x, y, last, leaveX, leaveY, arriveX, arriveY, isFree, rounds, cubic, t });
}

/** Numbers that the smoothing keeps for itself, for each sample. */
export const SMOOTHING_ROWS = 17;

/**
 * Curvature-constrained smoothing: moves `n` samples of a closed chain within their clearance until no bend is tighter
 * than allowed, save at corners. Begins with `startCurvatureSmoothing`; some `steps` more with each call.
 *
 * A convex problem: least HOLD/2 · |shift|² + STIFFNESS/2 · |second difference|² + PRICE · (what a second
 * difference is over its limit), within the room. The price grows with the excess, not its square, so that excess
 * gathers in few places, as in the lasso (Tibshirani 1996): these are where corners should be. Solved by the
 * alternating direction method of multipliers (Boyd, Parikh, Chu, Peleato & Eckstein 2011).
 *
 * @param tightest the largest curvature allowed, in 1/mm
 * @param slide how far a sample may move along its outline, in mm
 * @param tracedX,tracedY,normalX,normalY,film,opening the traced places, their normals into the film, and the room on
 *   both sides, in mm
 * @param fixed 1 where a sample stays
 * @param corner 1 where there is no limit to the bend
 * @param x,y the places, from call to call the better
 * @param excess what each sample turns more than allowed, in radians: above 0 clockwise, below 0 the other way
 * @param rows `SMOOTHING_ROWS` · n numbers that are kept from call to call
 */
export function smoothCurvature(
  n: number,
  steps: number,
  tightest: number,
  slide: number,
  tracedX: Float64Array,
  tracedY: Float64Array,
  normalX: Float64Array,
  normalY: Float64Array,
  film: Float64Array,
  opening: Float64Array,
  fixed: Uint8Array,
  corner: Uint8Array,
  x: Float64Array,
  y: Float64Array,
  excess: Float64Array,
  rows: Float64Array,
): void {
  call('smoothCurvature', {
    n,
    steps,
    tightest,
    slide,
    tracedX,
    tracedY,
    normalX,
    normalY,
    film,
    opening,
    fixed,
    corner,
    x,
    y,
    excess,
    rows,
  });
}

/**
 * Where the multipliers begin: the places are in their room, the bends are what they are.
 *
 * @param rows `SMOOTHING_ROWS` · n numbers
 */
export function startCurvatureSmoothing(
  n: number,
  x: Float64Array,
  y: Float64Array,
  rows: Float64Array,
): void {
  call('startCurvatureSmoothing', { n, x, y, rows });
}

/** Adds so much of `n` values to a sum as their shares say. */
export function addShare(
  sum: Float32Array,
  share: Float32Array,
  values: Float32Array,
  n: number,
): void {
  call('addShare', { sum, share, values, n });
}

/** Writes `number` where one of `n` values is larger than the largest so far, and keeps it. */
export function takeLarger(
  values: Float32Array,
  largest: Float32Array,
  which: Uint8Array,
  n: number,
  number: number,
): void {
  call('takeLarger', { values, largest, which, n, number });
}

/** What each of `n` pixels is worth, over the contours' weights; see src/raster/per-pixel-choice.ts. */
export function weighMatch(
  weight: Float32Array,
  found: Uint8Array,
  invented: Uint8Array,
  n: number,
  gain: number,
  loss: number,
): void {
  call('weighMatch', { weight, found, invented, n, gain, loss });
}

/** The differences of two blurs, each drawn `core` nearer to zero, over the wider one. See src/raster/difference-of-gaussians.ts. */
export function differ(wide: Float32Array, near: Float32Array, n: number, core: number): void {
  call('differ', { wide, near, n, core });
}

/**
 * Draws a surface of levels nearer to the values known in a neighbourhood. See src/raster/level-surface.ts.
 *
 * @param known, values the neighbourhood's weights, and its values times their weights
 * @param wider the weight of the surface that there is
 */
export function drawLevels(
  surface: Float32Array,
  known: Float32Array,
  values: Float32Array,
  n: number,
  wider: number,
): void {
  call('drawLevels', { surface, known, values, n, wider });
}

/** Writes `mark`, which is 1 or 0, where a number is less than `limit`, else the other of the two. */
export function markUnder(
  values: Float32Array,
  n: number,
  limit: number,
  mark: number,
  out: Uint8Array,
): void {
  call('markUnder', { values, n, limit, mark, out });
}

/** Adds up masses and lines as a mix asks for, over the masses. See src/stages/tone/mixed.ts. */
export function mixParts(
  masses: Float32Array,
  lines: Float32Array,
  n: number,
  share: number,
  bare: number,
  strength: number,
): void {
  call('mixParts', { masses, lines, n, share, bare, strength });
}

/** Multiplies `n` numbers by others, one by one. */
export function multiply(values: Float32Array, by: Float32Array, n: number): void {
  call('multiply', { values, by, n });
}

/** Maps `n` values to -1 … 1, by how far they are from their levels, over the values. See src/raster/difference-of-gaussians.ts. */
export function soften(
  values: Float32Array,
  levels: Float32Array,
  n: number,
  softness: number,
): void {
  call('soften', { values, levels, n, softness });
}

/** Moves `n` values from `middle` to `to`, and draws them `gain` times as far apart. */
export function stretch(
  values: Float32Array,
  n: number,
  middle: number,
  gain: number,
  to: number,
): void {
  call('stretch', { values, n, middle, gain, to });
}

/** Takes numbers off `n` others, one by one. */
export function subtract(values: Float32Array, off: Float32Array, n: number): void {
  call('subtract', { values, off, n });
}

/** The sum of `n` numbers, added up in their order. */
export function sumOf(values: Float32Array, n: number): number {
  return call('sumOf', { values, n });
}

/** Turns the sign of the numbers that are marked. */
export function negateMarked(values: Float32Array, marks: Uint8Array, n: number): void {
  call('negateMarked', { values, marks, n });
}

/** Adds a row of `n` numbers to a sum, and lays what of that is above 0 into a picture. */
export function addRow(sum: Float32Array, row: Float32Array, n: number, out: Float32Array): void {
  call('addRow', { sum, row, n, out });
}

/**
 * Convolves each channel of a picture by its own filter of 3 × 3 pixels, for `count` pixels of a row.
 *
 * @param picture from where the filter's upper left corner lies for the first of them
 * @param stride how many pixels a row of the picture has
 * @param step how many pixels it goes on each time
 */
export function filterRow(
  picture: Float32Array,
  stride: number,
  step: number,
  channels: number,
  filters: Float32Array,
  count: number,
  out: Float32Array,
): void {
  call('filterRow', { picture, stride, step, channels, filters, count, out });
}

/**
 * Lays what a filter of 3 × 3 pixels of three colours sees side by side, pixel by pixel of a row: 27 numbers each.
 *
 * @param picture from where the filter's upper left corner lies for the first of them
 * @param stride how many pixels a row of the picture has
 * @param step how many pixels it goes on each time
 */
export function gatherRow(
  picture: Float32Array,
  stride: number,
  step: number,
  count: number,
  out: Float32Array,
): void {
  call('gatherRow', { picture, stride, step, count, out });
}

/**
 * Lays the part of a picture that is shown in a square into it, by bilinear interpolation from the upper left corner of each
 * pixel, as the networks were taught. What is not of the picture is black.
 *
 * @param pixels three bytes a pixel, `stride` pixels a row; its box `x`, `y`, `width`, `height` is taken
 * @param across, down how many pixels of black stand before the box in its square
 * @param square how many of the picture's pixels the square is wide
 * @param means what is taken off the three colours
 * @param out rows of `side` + 2 pixels, the first of which stays as it is, as does the first row
 */
export function laySquare(
  pixels: Uint8Array,
  stride: number,
  x: number,
  y: number,
  width: number,
  height: number,
  across: number,
  down: number,
  square: number,
  means: Float32Array,
  side: number,
  out: Float32Array,
): void {
  call('laySquare', {
    pixels,
    stride,
    x,
    y,
    width,
    height,
    across,
    down,
    square,
    means,
    side,
    out,
  });
}

/**
 * Multiplies the numbers of each pixel of a row, `given` of them, by a matrix of `wanted` columns, and adds the bias.
 *
 * @param weights eight columns side by side, row by row of the matrix, then the next eight
 * @param slope what is below 0 is multiplied by that: 1 leaves it as it is
 * @param wanted a multiple of eight
 */
export function multiplyRow(
  row: Float32Array,
  count: number,
  given: number,
  weights: Float32Array,
  bias: Float32Array,
  slope: number,
  wanted: number,
  out: Float32Array,
): void {
  call('multiplyRow', { row, count, given, weights, bias, slope, wanted, out });
}

/**
 * The largest of each 2 × 2 pixels of two rows of `count` pixels, channel by channel; the last pixel's right neighbour is
 * itself where there is none.
 *
 * @param step how many pixels it goes on each time
 */
export function poolRow(
  first: Float32Array,
  second: Float32Array,
  count: number,
  channels: number,
  step: number,
  out: Float32Array,
): void {
  call('poolRow', { first, second, count, channels, step, out });
}

/** How many channels' weights lie side by side: `multiplyRow`. */
export const TOGETHER = 8;

/**
 * Finds the runs of pixels of one value along the rows.
 *
 * @param rows room for one number a row, and one more: the row's first run
 * @param starts, ends room for the runs: half the pixels of a row, rounded up, for each row
 * @returns how many runs there are
 */
export function findRuns(
  data: Uint8Array,
  width: number,
  height: number,
  value: number,
  rows: Int32Array,
  starts: Int32Array,
  ends: Int32Array,
): number {
  return call('findRuns', { data, width, height, value, rows, starts, ends });
}

/**
 * Joins the runs that touch, and numbers the regions in order of their first pixel, from 1: Rosenfeld & Pfaltz,
 * "Sequential operations in digital picture processing", J. ACM 13 (1966), by runs instead of by pixels.
 *
 * @param reach 1 where pixels that touch by a corner are connected, else 0
 * @param numbers room for a number a run: that of its region
 * @param areas, first, bounds by region number: its pixels, its first pixel, and the left, top, right and bottom pixel
 *   of the box round it
 * @returns how many regions there are
 */
export function numberRegions(
  width: number,
  height: number,
  reach: number,
  rows: Int32Array,
  starts: Int32Array,
  ends: Int32Array,
  parent: Int32Array,
  numbers: Int32Array,
  areas: Int32Array,
  first: Int32Array,
  bounds: Int32Array,
): number {
  return call('numberRegions', {
    width,
    height,
    reach,
    rows,
    starts,
    ends,
    parent,
    numbers,
    areas,
    first,
    bounds,
  });
}

/**
 * Factors a symmetric positive definite matrix whose unknowns lie on a ring, each coupled to its two neighbours on
 * either side: LDLᵀ with a band of two and the last two unknowns kept as a border.
 *
 * Golub & Van Loan, "Matrix Computations" (4th ed. 2013), 4.3 and 4.5.
 *
 * @param n how many unknowns, at least 6
 * @param diagonal,next,second A[j, j], A[j, j + 1] and A[j, j + 2], indices going round; overwritten by D and by
 *   L[j + 1, j] and L[j + 2, j]
 * @param border,lastBorder all 0; overwritten by L[n - 2, j] and L[n - 1, j]
 * @returns L[n - 1, n - 2]
 */
export function factorRing(
  n: number,
  diagonal: Float64Array,
  next: Float64Array,
  second: Float64Array,
  border: Float64Array,
  lastBorder: Float64Array,
): number {
  return call('factorRing', { n, diagonal, next, second, border, lastBorder });
}

/** Solves the factored system; the right hand side is overwritten by the solution. */
export function solveRing(
  n: number,
  diagonal: Float64Array,
  next: Float64Array,
  second: Float64Array,
  border: Float64Array,
  lastBorder: Float64Array,
  closing: number,
  b: Float64Array,
): void {
  call('solveRing', { n, diagonal, next, second, border, lastBorder, closing, b });
}

/**
 * Tells a region's thick part (ANCHOR) from the rest (BODY), and lists the rest.
 *
 * @param squared squared distance in px², a whole number or Infinity, from each pixel of the value to the nearest of
 *   the other; 0 elsewhere
 * @param limit what is less far off than this, in px², is thin
 * @param left, right, top, bottom edges in px, the last two being the first beyond; outside all counts as thick
 * @returns how many pixels `body` holds
 */
export function classifyThickness(
  data: Uint8Array,
  width: number,
  height: number,
  value: number,
  squared: Float32Array,
  limit: number,
  left: number,
  right: number,
  top: number,
  bottom: number,
  mask: Uint8Array,
  body: Int32Array,
): number {
  return call('classifyThickness', {
    data,
    width,
    height,
    value,
    squared,
    limit,
    left,
    right,
    top,
    bottom,
    mask,
    body,
  });
}

/**
 * Lists the connected lines, one after another.
 *
 * @param mask lines (BODY) and thick parts (ANCHOR); the lines are changed
 * @param lines the pixels of lines, `count` of them
 * @param listed the same pixels, line by line
 * @param ends by line, where it ends in `listed`
 * @param kinds by line, how it hangs
 * @returns how many lines there are
 */
export function connectLines(
  mask: Uint8Array,
  width: number,
  lines: Int32Array,
  count: number,
  listed: Int32Array,
  ends: Int32Array,
  kinds: Int32Array,
): number {
  return call('connectLines', { mask, width, lines, count, listed, ends, kinds });
}

export const JOINS = 2;

/**
 * Lists the pixels of the thin region that one of them belongs to, 4-connected.
 *
 * @param mask thick and thin, as `classifyThickness` has it
 * @returns how many there are
 */
export function listRegion(
  mask: Uint8Array,
  width: number,
  start: number,
  region: Int32Array,
): number {
  return call('listRegion', { mask, width, start, region });
}

/** How a line hangs: it touches no thick part (LOOSE); it leaves one; it joins two, or one to itself (JOINS). */
export const LOOSE = 0;

export const ANCHOR = 2;

export const BODY = 1;

/** What a pixel is: outside the region, part of it that may be peeled off, part of it that stays. */
export const EMPTY = 0;

/**
 * Peels a region down to its anchors and to the one-pixel-thin lines that join or leave them.
 *
 * Zhang & Suen, "A fast parallel algorithm for thinning digital patterns", Communications of the ACM 27 (1984), with
 * three changes: anchors are never peeled; only pixels beside one that has just been peeled are looked at again; and
 * a chosen pixel stays if the ones peeled just before it have made it a link, so that no thin diagonal or square of
 * four is lost, as happens in the original, and the region always hangs together as before.
 *
 * A line at about 45° that is an even number of pixels wide becomes a stair, which is peeled from its ends until nothing of
 * it is left (Lü & Wang, "A comment on 'A fast parallel algorithm for thinning digital patterns'", Communications of the
 * ACM 29, 1986, from memory). With `stairs` every second step of a stair goes, so that a diagonal is left, whose ends
 * stay; where regions run out to a corner that leaves more of a line in it.
 *
 * @param mask one byte a pixel, EMPTY, BODY or ANCHOR, peeled in place, and a byte behind it; no pixel on the raster's
 *   rim is BODY
 * @param body the pixels that are BODY, `count` of them
 * @param candidates, next, chosen room for `count` pixels each
 * @param stairs 1 to take steps of stairs off, else 0
 */
export function thin(
  mask: Uint8Array,
  width: number,
  body: Int32Array,
  count: number,
  candidates: Int32Array,
  next: Int32Array,
  chosen: Int32Array,
  stairs: number,
): void {
  call('thin', { mask, width, body, count, candidates, next, chosen, stairs });
}

/** The means of blocks of `factor` pixels each way, of bytes; `x`, `y`, `boxWidth`, `boxHeight` is the box to take. */
export function blockMeansOfBytes(
  source: Uint8Array,
  stride: number,
  x: number,
  y: number,
  boxWidth: number,
  boxHeight: number,
  factor: number,
  out: Float32Array,
): void {
  call('blockMeansOfBytes', { source, stride, x, y, boxWidth, boxHeight, factor, out });
}

/** The same of real numbers. */
export function blockMeansOfReals(
  source: Float32Array,
  stride: number,
  x: number,
  y: number,
  boxWidth: number,
  boxHeight: number,
  factor: number,
  out: Float32Array,
): void {
  call('blockMeansOfReals', { source, stride, x, y, boxWidth, boxHeight, factor, out });
}

/**
 * Makes a picture finer by bilinear interpolation; see src/raster/field.ts.
 *
 * @param columns, rows the coarse picture's size
 * @param across, acrossShare for each fine column: the coarse one at or before its centre, and how far it is towards
 *   the next, 0 to 1; @param down, downShare the same for the rows
 * @param blended room for one coarse row, and one more
 */
export function interpolateBilinear(
  data: Float32Array,
  columns: number,
  rows: number,
  across: Int32Array,
  acrossShare: Float32Array,
  down: Int32Array,
  downShare: Float32Array,
  blended: Float32Array,
  width: number,
  height: number,
  out: Float32Array,
): void {
  call('interpolateBilinear', {
    data,
    columns,
    rows,
    across,
    acrossShare,
    down,
    downShare,
    blended,
    width,
    height,
    out,
  });
}
