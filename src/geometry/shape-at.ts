import { flatten } from './flatten.js';
import type { Outline, Shape } from './shape.js';

/**
 * The shape that holds a place, by its number; -1 where none does.
 *
 * A place is inside when a ray to the right crosses the outlines an odd number of times (Shimrat, "Algorithm 112:
 * Position of point relative to polygon", 1962).
 *
 * @param x in mm
 * @param y in mm
 */
export function shapeAt(shapes: readonly Shape[], x: number, y: number): number {
  return shapes.findIndex(
    ({ outer, holes }) =>
      inReach(outer, x, y) &&
      [outer, ...holes].reduce((sum, outline) => sum + crossings(outline, x, y), 0) % 2 === 1,
  );
}

/** Whether a place lies in the box round an outline's control points, which holds its curves. */
function inReach({ coords }: Outline, x: number, y: number): boolean {
  let [left, right, above, below] = [false, false, false, false];
  for (let i = 0; i < coords.length; i += 2) {
    if (coords[i] <= x) left = true;
    if (coords[i] >= x) right = true;
    if (coords[i + 1] <= y) above = true;
    if (coords[i + 1] >= y) below = true;
  }
  return left && right && above && below;
}

function crossings(outline: Outline, x: number, y: number): number {
  const points = flatten(outline);
  const n = points.length;
  let count = 0;
  for (let i = 0, j = n - 2; i < n; j = i, i += 2) {
    const [ay, by] = [points[j + 1], points[i + 1]];
    if (ay > y === by > y) continue;
    if (points[j] + ((y - ay) / (by - ay)) * (points[i] - points[j]) > x) count++;
  }
  return count;
}
