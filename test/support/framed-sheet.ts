import type { Bitmap } from '../../src/raster/raster.js';
import { painted } from './bitmaps.js';

/** A picture of 60 × 60 mm on a sheet of 80 × 80 mm, at so many px a mm. */
export const SHEET_PX = 400;
export const PX_PER_MM = 5;
export const pictureBox = { x: 50, y: 50, width: 300, height: 300 };

export type Rule = (x: number, y: number) => boolean;

/** A sheet by a rule in mm within the picture. */
export const sheetOf = (rule: Rule): Bitmap =>
  painted(SHEET_PX, SHEET_PX, (x, y) => {
    const [u, v] = [x - pictureBox.x, y - pictureBox.y];
    return (
      u > 0 &&
      v > 0 &&
      u < pictureBox.width &&
      v < pictureBox.height &&
      rule(u / PX_PER_MM, v / PX_PER_MM)
    );
  });

/** Contours all over the picture, a place a mm. */
export const contours = {
  width: 60,
  height: 60,
  factor: PX_PER_MM,
  pixelsPerMm: 1,
  weight: new Float32Array(60 * 60).fill(1),
};
