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
  const data = new Uint8Array(width * height);
  for (const polygon of polygons) flipInside(polygon, data, width, height, pixelsPerMm);
  fillRows(data, width, height);
  return { width, height, data };
}

/**
 * Marks, on each pixel row, the first pixel centre right of each edge of the polygon: where the inside flips.
 * Two marks on one pixel cancel.
 */
function flipInside(
  polygon: Float64Array,
  data: Uint8Array,
  width: number,
  height: number,
  pixelsPerMm: number,
): void {
  const n = polygon.length;
  let x0 = polygon[n - 2] * pixelsPerMm;
  let y0 = polygon[n - 1] * pixelsPerMm;
  for (let i = 0; i < n; i += 2) {
    const x1 = polygon[i] * pixelsPerMm;
    const y1 = polygon[i + 1] * pixelsPerMm;
    const first = Math.max(0, Math.ceil(Math.min(y0, y1) - 0.5));
    const last = Math.min(height, Math.ceil(Math.max(y0, y1) - 0.5));
    const slope = (x1 - x0) / (y1 - y0);
    for (let row = first; row < last; row++) {
      const x = Math.max(0, Math.ceil(x0 + (row + 0.5 - y0) * slope - 0.5));
      if (x < width) data[row * width + x] ^= 1;
    }
    x0 = x1;
    y0 = y1;
  }
}

function fillRows(data: Uint8Array, width: number, height: number): void {
  for (let row = 0; row < height; row++) {
    let inside = 0;
    for (let i = row * width; i < (row + 1) * width; i++) {
      inside ^= data[i];
      data[i] = inside;
    }
  }
}
