import type { Point } from './shape.js';

/** A box by its four sides, in the unit of what lies in it, y down. */
export interface Bounds {
  readonly left: number;
  readonly top: number;
  readonly right: number;
  readonly bottom: number;
}

/** The same as a tuple, in mm. */
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

/** The box round some loops, each x, y, x, y, …, in their unit. */
export function boundsOfLoops(loops: readonly Float64Array[]): Bounds {
  return boundsRound(loops.map(boundsOf));
}

/** The box round one loop. */
export function boundsOf(loop: Float64Array): Bounds {
  const [left, top, right, bottom] = boundingBox(loop);
  return { left, top, right, bottom };
}

/** The box round several boxes. */
export function boundsRound(boxes: readonly Bounds[]): Bounds {
  return {
    left: Math.min(...boxes.map(({ left }) => left)),
    top: Math.min(...boxes.map(({ top }) => top)),
    right: Math.max(...boxes.map(({ right }) => right)),
    bottom: Math.max(...boxes.map(({ bottom }) => bottom)),
  };
}

/** What lies inside a sheet's margin, all in mm. */
export function insideOfMargin(
  { widthMm, heightMm }: { readonly widthMm: number; readonly heightMm: number },
  margin: number,
): Bounds {
  return { left: margin, top: margin, right: widthMm - margin, bottom: heightMm - margin };
}
