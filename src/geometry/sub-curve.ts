import { derivativeAt, pointAt } from './cubic.js';

/** Eight numbers: x, y of a cubic Bézier curve's start, its two controls and its end, in mm. */
type Cubic = ArrayLike<number>;

/** The part of a curve from parameter t0 to t1, by the curve's blossom; 0 to 1 is the curve, number for number. */
export function subCurve(cubic: Cubic, t0: number, t1: number): Float64Array {
  if (t0 === 0 && t1 === 1) return Float64Array.from(cubic);
  const part = new Float64Array(8);
  for (const axis of [0, 1] as const) {
    part[axis] = blossom(cubic, axis, t0, t0, t0);
    part[axis + 2] = blossom(cubic, axis, t0, t0, t1);
    part[axis + 4] = blossom(cubic, axis, t0, t1, t1);
    part[axis + 6] = blossom(cubic, axis, t1, t1, t1);
  }
  return part;
}

/** de Casteljau's steps with a parameter of its own for each. */
function blossom(cubic: Cubic, axis: 0 | 1, r: number, s: number, t: number): number {
  const between = (a: number, b: number, u: number): number => (1 - u) * a + u * b;
  const ab = between(cubic[axis], cubic[axis + 2], r);
  const bc = between(cubic[axis + 2], cubic[axis + 4], r);
  const cd = between(cubic[axis + 4], cubic[axis + 6], r);
  return between(between(ab, bc, s), between(bc, cd, s), t);
}

/** Each doubles the digits that are right (Newton's method), and the start lies within one side of a fine polygon. */
const NEWTON_STEPS = 3;

/** The parameter, from `low` to `high`, of the curve's place nearest to (x, y), by Newton's method from `t`. */
export function nearestParameter(
  cubic: Cubic,
  x: number,
  y: number,
  t: number,
  low: number,
  high: number,
): number {
  for (let step = 0; step < NEWTON_STEPS; step++) {
    const [px, py] = pointAt(cubic, t);
    const vx = derivativeAt(cubic, 0, t);
    const vy = derivativeAt(cubic, 1, t);
    const speed = vx * vx + vy * vy;
    if (speed === 0) break;
    // The second derivative is left out: the start is within a chord's height of the answer.
    t = Math.max(low, Math.min(high, t + ((x - px) * vx + (y - py) * vy) / speed));
  }
  return t;
}
