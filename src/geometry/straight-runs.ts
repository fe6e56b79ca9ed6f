import type { Point } from './shape.js';

/** A stretch of an outline that lies along a line. */
export interface StraightRun {
  readonly from: Point;
  readonly to: Point;
  readonly lengthMm: number;
}

/**
 * The longest stretches of a closed polygon that stay beside the line between their ends, none overlapping another.
 *
 * @param polygon x, y pairs in mm, the first point not repeated
 * @param leastMm the shortest run
 * @param offMm how far a point may lie off the line
 */
export function straightRuns(polygon: Float64Array, leastMm: number, offMm: number): StraightRun[] {
  const n = polygon.length / 2;
  const first = sharpest(polygon);
  const runs: StraightRun[] = [];
  for (let i = 0; i < n;) {
    const end = furthest(polygon, first, i, n, offMm);
    const from = pointOf(polygon, first + i);
    const to = pointOf(polygon, first + end);
    const lengthMm = Math.hypot(to.x - from.x, to.y - from.y);
    if (lengthMm >= leastMm) runs.push({ from, to, lengthMm });
    i = lengthMm >= leastMm ? end : i + 1;
  }
  return runs;
}

/** The furthest point, counted from `first`, to which a line from point i stays beside all points between. */
function furthest(
  polygon: Float64Array,
  first: number,
  i: number,
  last: number,
  offMm: number,
): number {
  let best = i + 1;
  for (let j = i + 2; j <= last && isBeside(polygon, first + i, first + j, offMm); j++) best = j;
  return best;
}

function isBeside(polygon: Float64Array, from: number, to: number, offMm: number): boolean {
  const a = pointOf(polygon, from);
  const b = pointOf(polygon, to);
  const [dx, dy] = [b.x - a.x, b.y - a.y];
  const chord = Math.hypot(dx, dy);
  if (chord === 0) return false;
  let along = 0;
  for (let k = from + 1; k < to; k++) {
    const { x, y } = pointOf(polygon, k);
    const now = (dx * (x - a.x) + dy * (y - a.y)) / chord;
    const off = Math.abs(dx * (y - a.y) - dy * (x - a.x)) / chord;
    if (off > offMm || now < along - offMm || now > chord + offMm) return false;
    along = now;
  }
  return true;
}

function pointOf(polygon: Float64Array, i: number): Point {
  const at = (2 * i) % polygon.length;
  return { x: polygon[at], y: polygon[at + 1] };
}

/** The point at which the polygon turns most: no long run goes across it. */
function sharpest(polygon: Float64Array): number {
  const n = polygon.length / 2;
  let best = 0;
  let most = -1;
  for (let i = 0; i < n; i++) {
    const before = pointOf(polygon, i + n - 1);
    const here = pointOf(polygon, i);
    const after = pointOf(polygon, i + 1);
    const [ax, ay] = [here.x - before.x, here.y - before.y];
    const [bx, by] = [after.x - here.x, after.y - here.y];
    const turn = Math.abs(Math.atan2(ax * by - ay * bx, ax * bx + ay * by));
    if (turn > most) [best, most] = [i, turn];
  }
  return best;
}
