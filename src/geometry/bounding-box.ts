import type { Point } from './shape.js';

/** A box in mm. */
export type BoundingBox = readonly [left: number, top: number, right: number, bottom: number];

/** The box round some points, which holds the curves that have them as control points. */
export function boundingBox(coords: Float64Array): BoundingBox {
  let [left, top, right, bottom] = [Infinity, Infinity, -Infinity, -Infinity];
  for (let i = 0; i < coords.length; i += 2) {
    left = Math.min(left, coords[i]);
    right = Math.max(right, coords[i]);
    top = Math.min(top, coords[i + 1]);
    bottom = Math.max(bottom, coords[i + 1]);
  }
  return [left, top, right, bottom];
}

/** The box round some points, in their unit. */
export const boxOfPoints = (points: readonly Point[]): BoundingBox =>
  boundingBox(Float64Array.from(points.flatMap(({ x, y }) => [x, y])));
