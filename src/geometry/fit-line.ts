import type { SmoothedLine } from './smooth-line.js';

/** What is no smaller than this can be divided by. */
const LEAST = 1e-12;
/** Handles outside of this, in thirds of the way, come of few points that say little: then thirds are taken. */
const HANDLES = { least: 0.1, most: 4 };
/** The direction at an end is taken over so many points. */
const DIRECTION = 2;

/**
 * Few cubic Bézier curves along a smooth line of points, joined without a kink save at corners: eight numbers each, start, controls and
 * end.
 *
 * After Schneider, "An algorithm for automatically fitting digitized curves", Graphics Gems (1990): one curve by least
 * squares with the line's own directions at its ends, and where it is further off than allowed, one for each half.
 *
 * @param line of two points or more, in mm; a closed one without its first point once more
 * @param offMm how far a point of the line may lie from the curve at its share of the way
 */
export function fitLine(line: SmoothedLine, isClosed: boolean, offMm: number): Float64Array[] {
  const n = line.x.length;
  const at = (i: number): readonly [number, number] => {
    const k = isClosed ? ((i % n) + n) % n : Math.min(n - 1, Math.max(0, i));
    return [line.x[k], line.y[k]];
  };
  const curves: Float64Array[] = [];
  const isCorner = (i: number): boolean => line.corner[i % n] === 1;
  const end = isClosed ? n : n - 1;
  const isSmoothEnd = isClosed && !isCorner(0);
  // A direction is that of the stretch alone where it ends at a corner.
  const fitStretch = (first: number, last: number): void => {
    const low = first === 0 && isSmoothEnd ? -DIRECTION : first;
    const high = last === end && isSmoothEnd ? end + DIRECTION : last;
    const direction = (i: number): readonly [number, number] => {
      const [ax, ay] = at(Math.max(low, i - DIRECTION));
      const [bx, by] = at(Math.min(high, i + DIRECTION));
      const length = Math.hypot(bx - ax, by - ay) || 1;
      return [(bx - ax) / length, (by - ay) / length];
    };
    const fit = (from: number, to: number): void => {
      const [curve, off] = oneCurve(at, direction, from, to);
      if (off <= offMm || to - from < 2) {
        curves.push(curve);
        return;
      }
      const middle = (from + to) >> 1;
      fit(from, middle);
      fit(middle, to);
    };
    fit(first, last);
  };
  let from = 0;
  for (let i = 1; i <= end; i++) {
    if (i < end && !isCorner(i)) continue;
    fitStretch(from, i);
    from = i;
  }
  return curves;
}

type PointAt = (i: number) => readonly [number, number];

function oneCurve(
  at: PointAt,
  direction: PointAt,
  from: number,
  to: number,
): readonly [Float64Array, number] {
  const count = to - from + 1;
  const share = new Float64Array(count);
  for (let k = 1; k < count; k++) {
    const [[ax, ay], [bx, by]] = [at(from + k - 1), at(from + k)];
    share[k] = share[k - 1] + Math.hypot(bx - ax, by - ay);
  }
  const whole = share[count - 1];
  const [[x0, y0], [x3, y3]] = [at(from), at(to)];
  const [[ux, uy], [vx, vy]] = [direction(from), direction(to)];
  // Unknown are the lengths of both handles, along u and against v.
  let [uu, uv, vv, ur, vr] = [0, 0, 0, 0, 0];
  for (let k = 0; k < count; k++) {
    const t = whole > 0 ? share[k] / whole : 0;
    const [b1, b2] = [3 * t * (1 - t) ** 2, 3 * t * t * (1 - t)];
    const [first, last] = [(1 - t) ** 3 + b1, t ** 3 + b2];
    const [px, py] = at(from + k);
    const [rx, ry] = [px - first * x0 - last * x3, py - first * y0 - last * y3];
    uu += b1 * b1;
    uv -= b1 * b2 * (ux * vx + uy * vy);
    vv += b2 * b2;
    ur += b1 * (ux * rx + uy * ry);
    vr -= b2 * (vx * rx + vy * ry);
  }
  const by = uu * vv - uv * uv;
  const third = whole / 3;
  let [a, b] = by > LEAST ? [(ur * vv - vr * uv) / by, (uu * vr - uv * ur) / by] : [third, third];
  const fits = (handle: number): boolean =>
    handle > HANDLES.least * third && handle < HANDLES.most * third;
  if (!fits(a) || !fits(b)) [a, b] = [third, third];
  const curve = Float64Array.of(x0, y0, x0 + a * ux, y0 + a * uy, x3 - b * vx, y3 - b * vy, x3, y3);
  let off = 0;
  for (let k = 0; k < count; k++) {
    const t = whole > 0 ? share[k] / whole : 0;
    const w = [(1 - t) ** 3, 3 * t * (1 - t) ** 2, 3 * t * t * (1 - t), t ** 3];
    const [px, py] = at(from + k);
    const x = w.reduce((sum, one, i) => sum + one * curve[2 * i], 0);
    const y = w.reduce((sum, one, i) => sum + one * curve[2 * i + 1], 0);
    off = Math.max(off, Math.hypot(px - x, py - y));
  }
  return [curve, off];
}
