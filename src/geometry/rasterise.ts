import * as kernels from '../kernels/generated.js';
import { kernelArrays } from '../kernels/memory.js';
import type { Bitmap } from '../raster/raster.js';
import { flatten } from './flatten.js';
import type { Shape } from './shape.js';

/**
 * Draws openings into a bitmap: 1 where a pixel's centre lies inside an odd number of outlines.
 *
 * @param width,height the bitmap's size in px
 * @param pixelsPerMm px a millimetre
 */
export function rasterise(
  shapes: readonly Shape[],
  width: number,
  height: number,
  pixelsPerMm: number,
): Bitmap {
  const polygons = shapes.flatMap(({ outer, holes }) =>
    [outer, ...holes].map((outline) => flatten(outline)),
  );
  const longest = polygons.reduce((most, { length }) => Math.max(most, length), 0);
  const [points, data] = kernelArrays([Float64Array, longest], [Uint8Array, width * height]);
  data.fill(0);
  for (const polygon of polygons) {
    points.set(polygon);
    kernels.flipInside(points, polygon.length, pixelsPerMm, data, width, height);
  }
  kernels.fillRows(data, width, height);
  return { width, height, data: data.slice() };
}
