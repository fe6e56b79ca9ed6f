import { flatten } from '../../geometry/flatten.js';
import { imageOf, type SymmetryPattern } from '../../geometry/fold-pattern.js';
import { shapeFinder } from '../../geometry/point-location.js';
import type { Point, Shape } from '../../geometry/shape.js';

/** So far inside its outline, in mm, a place of an opening is looked at: more than outlines differ by when bridges are cut. */
const INSIDE_MM = 0.2;

/**
 * Parts openings that bridges were cut across by whether they can be alike in all copies of a pattern: all that came of
 * openings in no image of which a place lies, and the others.
 *
 * @param before the openings without bridges, symmetric by the pattern
 * @param places the middles of the bridges that are not alike in all copies, in mm
 */
export function partedByPlaces(
  pieces: readonly Shape[],
  before: readonly Shape[],
  places: readonly Point[],
  { copies }: SymmetryPattern,
): { readonly alike: readonly Shape[]; readonly unlike: readonly Shape[] } {
  const shapeAt = shapeFinder(before);
  const touched = new Set<number>();
  for (const place of places) {
    for (const copy of copies) {
      const { x, y } = imageOf(copy, place);
      touched.add(shapeAt(x, y));
    }
  }
  const alike = pieces.filter((piece) => {
    const shape = shapeOf(piece, shapeAt);
    return shape >= 0 && !touched.has(shape);
  });
  return { alike, unlike: pieces.filter((piece) => !alike.includes(piece)) };
}

/** The shape that a piece was cut from, by the first place beside its outline that lies in one; -1 where none does. */
function shapeOf({ outer }: Shape, shapeAt: (x: number, y: number) => number): number {
  const points = flatten(outer);
  const n = points.length;
  const own = shapeFinder([{ outer, holes: [] }]);
  for (let i = 0; i < n; i += 2) {
    const [x0, y0, x1, y1] = [points[i], points[i + 1], points[(i + 2) % n], points[(i + 3) % n]];
    const long = Math.hypot(x1 - x0, y1 - y0) || 1;
    const [dx, dy] = [(INSIDE_MM * (y1 - y0)) / long, (INSIDE_MM * (x0 - x1)) / long];
    for (const side of [1, -1]) {
      const [x, y] = [(x0 + x1) / 2 + side * dx, (y0 + y1) / 2 + side * dy];
      if (own(x, y) === 0 && shapeAt(x, y) >= 0) return shapeAt(x, y);
    }
  }
  return -1;
}
