import { boundsOf, type Bounds } from './bounding-box.js';
import { Clipper64, ClipType, FillRule, Path64, Paths64, PathType } from '../built-in/clipper2.js';
import { perimeter } from './perimeter.js';
import { signedArea } from './signed-area.js';
import { scanQueue } from './scan-queue.js';

/**
 * The polygon library counts in whole numbers: a ten-thousandth of a millimetre, a thousandth of what true size allows.
 */
const GRID_PER_MM = 10_000;

/** A polygon with holes; each loop is x, y pairs in mm, the first point not repeated. */
export interface Region {
  readonly outer: Float64Array;
  readonly holes: readonly Float64Array[];
}

/** More than a sheet is high in steps of the grid (6.7 m), and a sheet of such points still fits a double's 53 bits. */
const MOST_ROWS = 2 ** 26;

/** The number of the grid point that a place falls on: equal for points that the polygon library holds equal. */
export function gridKey(x: number, y: number): number {
  return Math.round(x * GRID_PER_MM) * MOST_ROWS + Math.round(y * GRID_PER_MM);
}

/** The size of a grid step in mm: what a boolean may move a point by. */
export const gridStepMm = 1 / GRID_PER_MM;

/** What of `subject` lies outside `clip`. Inside is what an odd number of loops holds, in both. */
export function difference(
  subject: readonly Float64Array[],
  clip: readonly Float64Array[],
): Region[] {
  return combine(ClipType.Difference, FillRule.EvenOdd, subject, clip);
}

/** What lies inside at least one of the loops, whichever way they turn. */
export function union(loops: readonly Float64Array[]): Region[] {
  return combine(ClipType.Union, FillRule.NonZero, loops.map(turnedForward), []);
}

/** Union by the nonzero fill rule, each loop turning its own way: one that turns backward inside another is a hole, as in a font. */
export function unionNonZero(loops: readonly Float64Array[]): Region[] {
  return combine(ClipType.Union, FillRule.NonZero, loops, []);
}

function turnedForward(loop: Float64Array): Float64Array {
  if (signedArea(loop) >= 0) return loop;
  const turned = new Float64Array(loop.length);
  for (let i = 0, j = loop.length - 2; j >= 0; i += 2, j -= 2) {
    turned[i] = loop[j]!;
    turned[i + 1] = loop[j + 1]!;
  }
  return turned;
}

function combine(
  kind: ClipType,
  rule: FillRule,
  subject: readonly Float64Array[],
  clip: readonly Float64Array[],
): Region[] {
  const clipper = new Clipper64();
  // The library keeps its scan lines in a list that it searches and sorts anew for each one: most of its time. No
  // public call gives it another: test/built-in.test.ts holds this one to be there and used.
  Object.assign(clipper, { _scanlineList: scanQueue() });
  clipper.addPaths(toPaths(subject), PathType.Subject);
  if (clip.length > 0) clipper.addPaths(toPaths(clip), PathType.Clip);
  const solution = new Paths64();
  // The library reports its own failures by this flag alone.
  if (!clipper.execute(kind, rule, solution)) throw new Error('a polygon boolean failed');
  return nest(Array.from(solution, toLoop));
}

/**
 * Gives each hole to the region that it lies in. The library turns outer loops forward and holes backward.
 *
 * @throws Error when a hole lies in no region: film would be left out, and nobody told
 */
export function nest(loops: readonly Float64Array[]): Region[] {
  const outers = loops
    .map((loop) => ({
      outer: loop,
      area: signedArea(loop),
      bounds: boundsOf(loop),
      holes: [] as Float64Array[],
    }))
    .filter(({ area }) => area > 0)
    .sort((a, b) => a.area - b.area);
  for (const hole of loops) {
    if (signedArea(hole) >= 0) continue;
    const bounds = boundsOf(hole);
    const [x, y] = placeIn(hole);
    // Of the loops round it the smallest is the one that it is a hole of.
    const home = outers.find(
      (region) => isWithin(bounds, region.bounds) && isInside(region.outer, x, y),
    );
    if (home) home.holes.push(hole);
    else if (!isHair(hole)) throw new Error(`an island lies in no opening, at ${placeOn(hole)}`);
  }
  return outers.map(({ outer, holes }) => ({ outer, holes }));
}

/** Whether a loop is no wider than rounding to the grid may make it. */
function isHair(loop: Float64Array): boolean {
  return Math.abs(signedArea(loop)) < perimeter(loop) * gridStepMm;
}

function placeOn([x, y]: Float64Array): string {
  return `${x.toFixed(1)}, ${y.toFixed(1)} mm`;
}

function isWithin(inner: Bounds, outer: Bounds): boolean {
  return (
    inner.left >= outer.left &&
    inner.top >= outer.top &&
    inner.right <= outer.right &&
    inner.bottom <= outer.bottom
  );
}

/**
 * A place inside a loop, well off its sides: loops of one result never cross but may touch, so that a place on a side
 * would be no witness. It lies halfway between two sides, on the line across the middle of the tallest one.
 */
function placeIn(loop: Float64Array): readonly [number, number] {
  const n = loop.length;
  let [y, tallest] = [loop[1], 0];
  for (let i = 0, j = n - 2; i < n; j = i, i += 2) {
    const tall = Math.abs(loop[i + 1] - loop[j + 1]);
    if (tall > tallest) [y, tallest] = [(loop[i + 1] + loop[j + 1]) / 2, tall];
  }
  const crossings: number[] = [];
  for (let i = 0, j = n - 2; i < n; j = i, i += 2) {
    if (loop[i + 1] > y === loop[j + 1] > y) continue;
    crossings.push(crossingOf(loop, i, j, y));
  }
  crossings.sort((a, b) => a - b);
  let [x, widest] = [loop[0], 0];
  for (let k = 0; k + 1 < crossings.length; k += 2) {
    const wide = crossings[k + 1] - crossings[k];
    if (wide > widest) [x, widest] = [(crossings[k] + crossings[k + 1]) / 2, wide];
  }
  return [x, y];
}

/** Where the side between two points of a loop passes a height. */
function crossingOf(loop: Float64Array, i: number, j: number, y: number): number {
  const [yi, yj] = [loop[i + 1], loop[j + 1]];
  return loop[i] + ((y - yi) * (loop[j] - loop[i])) / (yj - yi);
}

/** Whether a place lies inside a loop: a ray to the right crosses it an odd number of times. */
export function isInside(loop: Float64Array, x: number, y: number): boolean {
  let inside = false;
  const n = loop.length;
  for (let i = 0, j = n - 2; i < n; j = i, i += 2) {
    const isPassed = loop[i + 1] > y !== loop[j + 1] > y;
    if (isPassed && x < crossingOf(loop, i, j, y)) inside = !inside;
  }
  return inside;
}

function toPaths(loops: readonly Float64Array[]): Paths64 {
  const paths = new Paths64();
  for (const loop of loops) {
    const path = new Path64();
    for (let i = 0; i < loop.length; i += 2) {
      path.push({
        x: Math.round(loop[i] * GRID_PER_MM),
        y: Math.round(loop[i + 1] * GRID_PER_MM),
      });
    }
    paths.push(path);
  }
  return paths;
}

/** The library may repeat a point on the way; a loop holds it once. */
function toLoop(path: Path64): Float64Array {
  const loop = new Float64Array(2 * path.length);
  let length = 0;
  path.forEach(({ x, y }, i) => {
    const before = path[(i || path.length) - 1];
    if (x === before.x && y === before.y) return;
    loop[length++] = x / GRID_PER_MM;
    loop[length++] = y / GRID_PER_MM;
  });
  return loop.subarray(0, length);
}
