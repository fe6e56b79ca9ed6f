import { squaredDistance } from '../../src/raster/distance.js';
import type { Bitmap, Box } from '../../src/raster/raster.js';
import type { LineDrawing } from './line-drawings.js';

/** A place of a centreline counts as kept with an opening this near, in mm. */
const NEAR_MM = 1.2;

/**
 * The share of a drawing's centrelines, of strokes from 5 mm on, that lie near an opening of what became of it.
 *
 * @param frame what the drawing covers of the print, px
 */
export function shareKept(
  { centreline }: LineDrawing,
  print: Bitmap,
  frame: Box,
  pixelsPerMm: number,
): number {
  const squared = squaredDistance(print, 1);
  const near = centreline.filter(([x, y]) => {
    const column = Math.floor(frame.x + x * frame.width);
    const row = Math.floor(frame.y + y * frame.height);
    return squared[row * print.width + column] <= (NEAR_MM * pixelsPerMm) ** 2;
  });
  return near.length / centreline.length;
}
