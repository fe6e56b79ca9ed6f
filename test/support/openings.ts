import type { Region } from '../../src/geometry/boolean-operations.js';
import type { Outline, Shape } from '../../src/geometry/shape.js';

/** How far a quarter circle's controls stand off, for a unit circle: 4/3 · (√2 − 1). */
const KAPPA = (4 / 3) * (Math.SQRT2 - 1);

/** A circle of four curves, in mm. */
export function circle(x: number, y: number, radius: number): Outline {
  const k = KAPPA;
  const unit = [
    [1, 0, 1, k, k, 1],
    [0, 1, -k, 1, -1, k],
    [-1, 0, -1, -k, -k, -1],
    [0, -1, k, -1, 1, -k],
  ].flat();
  return {
    coords: Float64Array.from(unit, (value, i) => value * radius + (i % 2 === 0 ? x : y)),
    straight: new Uint8Array(4),
    corner: new Uint8Array(4),
  };
}

/** A polygon as an outline: straight curves, every point a corner. */
export function polygonOutline(points: ArrayLike<number>): Outline {
  const n = points.length / 2;
  const coords = new Float64Array(6 * n);
  for (let i = 0; i < n; i++) {
    const [x, y] = [points[2 * i], points[2 * i + 1]];
    const j = (i + 1) % n;
    const [dx, dy] = [(points[2 * j] - x) / 3, (points[2 * j + 1] - y) / 3];
    coords.set([x, y, x + dx, y + dy, x + 2 * dx, y + 2 * dy], 6 * i);
  }
  return { coords, straight: new Uint8Array(n).fill(1), corner: new Uint8Array(n).fill(1) };
}

/** A rectangle, in mm. */
export function rectangle(x: number, y: number, width: number, height: number): Outline {
  return polygonOutline([x, y, x + width, y, x + width, y + height, x, y + height]);
}

/** A ring; the hole's middle may be off the ring's. */
export function ring(
  x: number,
  y: number,
  outer: number,
  inner: number,
  offX = 0,
  offY = 0,
): Shape {
  return { outer: circle(x, y, outer), holes: [circle(x + offX, y + offY, inner)] };
}

export function shapeOf({ outer, holes }: Region): Shape {
  return { outer: polygonOutline(outer), holes: holes.map(polygonOutline) };
}
