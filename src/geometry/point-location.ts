import { boundingBox } from './bounding-box.js';
import { boxIndex } from './box-index.js';
import { flatten } from './flatten.js';
import type { Shape } from './shape.js';

/** The side of a cell of the index: about an opening wide, so that few cells are looked in and few boxes in each. */
const CELL_MM = 4;

/**
 * Tells which shape holds a place, by its number; -1 where none does.
 *
 * A place is inside when a ray to the right crosses the outlines an odd number of times (Shimrat, "Algorithm 112:
 * Position of point relative to polygon", 1962). A shape is flattened when it is first looked at.
 *
 * @returns for a place in mm the number of the shape
 */
export function shapeFinder(shapes: readonly Shape[]): (x: number, y: number) => number {
  const boxes = new Float64Array(4 * shapes.length);
  shapes.forEach(({ outer }, i) => boxes.set(boundingBox(outer.coords), 4 * i));
  const index = boxIndex(boxes, CELL_MM);
  const flat: (readonly Float64Array[] | undefined)[] = [];
  const loopsOf = (i: number): readonly Float64Array[] =>
    (flat[i] ??= [shapes[i].outer, ...shapes[i].holes].map((outline) => flatten(outline)));
  return (x, y) => {
    let first = -1;
    index.near(x, y, x, y, (i) => {
      if (first >= 0 && i >= first) return;
      if (boxes[4 * i] > x || boxes[4 * i + 1] > y || boxes[4 * i + 2] < x || boxes[4 * i + 3] < y)
        return;
      const crossed = loopsOf(i).reduce((sum, loop) => sum + crossings(loop, x, y), 0);
      if (crossed % 2 === 1) first = i;
    });
    return first;
  };
}

function crossings(points: Float64Array, x: number, y: number): number {
  const n = points.length;
  let count = 0;
  for (let i = 0, j = n - 2; i < n; j = i, i += 2) {
    const [ay, by] = [points[j + 1], points[i + 1]];
    if (ay > y === by > y) continue;
    if (points[j] + ((y - ay) / (by - ay)) * (points[i] - points[j]) > x) count++;
  }
  return count;
}
