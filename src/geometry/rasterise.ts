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
  const bitmap = { width, height, data: new Uint8Array(width * height) };
  for (const { outer, holes } of shapes) {
    for (const outline of [outer, ...holes]) flipInside(bitmap, flatten(outline), pixelsPerMm);
  }
  fillRows(bitmap);
  return bitmap;
}

/**
 * Marks, on each row, the first pixel centre right of each edge of a polygon: where the inside flips. Two marks on one
 * pixel cancel. Writes to the bitmap.
 *
 * @param points x and y by turns, in mm
 */
function flipInside(
  { width, height, data }: Bitmap,
  points: Float64Array,
  pixelsPerMm: number,
): void {
  const n = points.length;
  let x0 = points[n - 2] * pixelsPerMm;
  let y0 = points[n - 1] * pixelsPerMm;
  for (let i = 0; i < n; i += 2) {
    const x1 = points[i] * pixelsPerMm;
    const y1 = points[i + 1] * pixelsPerMm;
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

/** Fills what lies between the marks, row by row. Writes to the bitmap. */
function fillRows({ width, height, data }: Bitmap): void {
  for (let row = 0; row < height; row++) {
    let inside = 0;
    for (let i = row * width; i < (row + 1) * width; i++) {
      inside ^= data[i];
      data[i] = inside;
    }
  }
}
