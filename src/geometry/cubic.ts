import type { Outline } from './shape.js';

/** Eight numbers: x, y of a cubic Bézier curve's start, its two controls and its end, in mm. */
type Cubic = ArrayLike<number>;

/** Curve i of an outline. */
export function cubicOf({ coords }: Outline, i: number): Float64Array {
  const cubic = new Float64Array(8);
  for (let k = 0; k < 8; k++) cubic[k] = coords[(6 * i + k) % coords.length];
  return cubic;
}

/** The place at parameter t, 0 to 1, as x and y. */
export function pointAt(cubic: Cubic, t: number): readonly [number, number] {
  return [coordinate(cubic, 0, t), coordinate(cubic, 1, t)];
}

function coordinate(cubic: Cubic, axis: 0 | 1, t: number): number {
  const s = 1 - t;
  return (
    s * s * s * cubic[axis] +
    3 * s * s * t * cubic[axis + 2] +
    3 * s * t * t * cubic[axis + 4] +
    t * t * t * cubic[axis + 6]
  );
}

/** A straight line as a cubic, its controls at its thirds. */
export function lineCubic(x0: number, y0: number, x1: number, y1: number): Float64Array {
  const dx = (x1 - x0) / 3;
  const dy = (y1 - y0) / 3;
  return Float64Array.of(x0, y0, x0 + dx, y0 + dy, x1 - dx, y1 - dy, x1, y1);
}

/** Signed curvature at parameter t, in 1/mm: positive where the curve bends clockwise on the page (y down). */
export function curvatureAt(cubic: Cubic, t: number): number {
  const vx = derivativeAt(cubic, 0, t);
  const vy = derivativeAt(cubic, 1, t);
  const speed = Math.sqrt(vx * vx + vy * vy);
  if (speed === 0) return Infinity;
  const cross = vx * acceleration(cubic, 1, t) - vy * acceleration(cubic, 0, t);
  return cross / (speed * speed * speed);
}

/** How fast a place moves along the curve at parameter t, in mm. */
export function speedAt(cubic: Cubic, t: number): number {
  return Math.hypot(derivativeAt(cubic, 0, t), derivativeAt(cubic, 1, t));
}

/** The first derivative of a coordinate by the parameter, in mm. */
export function derivativeAt(cubic: Cubic, axis: 0 | 1, t: number): number {
  const s = 1 - t;
  return (
    3 *
    (s * s * (cubic[axis + 2] - cubic[axis]) +
      2 * s * t * (cubic[axis + 4] - cubic[axis + 2]) +
      t * t * (cubic[axis + 6] - cubic[axis + 4]))
  );
}

function acceleration(cubic: Cubic, axis: 0 | 1, t: number): number {
  return (
    6 *
    ((1 - t) * (cubic[axis + 4] - 2 * cubic[axis + 2] + cubic[axis]) +
      t * (cubic[axis + 6] - 2 * cubic[axis + 4] + cubic[axis + 2]))
  );
}
