import { squaredDistance } from '../../src/raster/distance.js';
import { opened } from '../../src/raster/morphology.js';
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
  pictureBox: Box,
  pixelsPerMm: number,
): number {
  const squared = squaredDistance(print, 1);
  return shareOf(
    centreline,
    print.width,
    pictureBox,
    (i) => squared[i] <= (NEAR_MM * pixelsPerMm) ** 2,
  );
}

/** A disk this wide, in mm, fits into no line: what it fits into is a mass. */
const MASS_MM = 4;

/** The share of a drawing's centrelines that lie in an opening that is a mass: lines that have run together. */
export function shareMassed(
  { centreline }: LineDrawing,
  print: Bitmap,
  pictureBox: Box,
  pixelsPerMm: number,
): number {
  const masses = opened(print, (MASS_MM / 2) * pixelsPerMm);
  return shareOf(centreline, print.width, pictureBox, (i) => masses.data[i] === 1);
}

function shareOf(
  centreline: LineDrawing['centreline'],
  width: number,
  pictureBox: Box,
  holds: (pixel: number) => boolean,
): number {
  const found = centreline.filter(([x, y]) => {
    const column = Math.floor(pictureBox.x + x * pictureBox.width);
    const row = Math.floor(pictureBox.y + y * pictureBox.height);
    return holds(row * width + column);
  });
  return found.length / centreline.length;
}
