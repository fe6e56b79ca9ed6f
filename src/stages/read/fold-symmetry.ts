import { copyAt, foldPattern, imageOf, type FoldPattern } from '../../geometry/fold-pattern.js';
import type { Sheet } from '../../settings/card.js';
import type { FoldSettings } from '../../settings/folds.js';
import type { Box, Gray } from '../../raster/raster.js';
import type { PixelSize } from './decoding.js';

/** The longer side, in px, of the look that tells whether a drawing is symmetric: its shapes, and no pencil's tremor. */
const LOOK_PX = 96;
/** A drawing whose folded parts agree in so much of its variance shows the opened sheet. */
const IS_WHOLE = 0.8;

/** How far a drawing is symmetric as the opened sheet is, 0 to 1. */
export interface FoldSymmetry {
  readonly share: number;
  readonly isWhole: boolean;
}

/**
 * How much of a picture's variance stays when each place takes the mean of all that come to lie over it: 1 where they
 * are all alike, about 1 in so many layers where they have nothing to do with each other.
 *
 * @param part in the picture's px
 * @param look gives a part as grey, at a size in px
 */
export async function foldSymmetry(
  part: Box,
  fold: FoldSettings,
  look: (part: Box, size: PixelSize) => Promise<Uint8Array>,
): Promise<FoldSymmetry> {
  const scale = LOOK_PX / Math.max(part.width, part.height);
  const size = {
    width: Math.max(1, Math.round(part.width * scale)),
    height: Math.max(1, Math.round(part.height * scale)),
  };
  const pattern = foldPattern({ ...fold, sheet: inPixels(size) });
  if (!pattern) return { share: 0, isWhole: false };
  const share = sharedVariance({ ...size, data: await look(part, size) }, pattern);
  return { share, isWhole: share >= IS_WHOLE };
}

/** A look as a sheet of a millimetre a pixel. */
const inPixels = ({ width, height }: PixelSize): Sheet => ({ widthMm: width, heightMm: height });

function sharedVariance(look: Gray, pattern: FoldPattern): number {
  const { width, height, data } = look;
  const whole = data.reduce((sum, value) => sum + value, 0) / data.length;
  let [all, within] = [0, 0];
  for (let y = 0; y < height; y++) {
    for (let x = 0; x < width; x++) {
      const place = { x: x + 0.5, y: y + 0.5 };
      if (copyAt(pattern, place.x, place.y) !== 0) continue;
      const values = pattern.copies.map((copy) => bilinearAt(look, imageOf(copy, place)));
      const mean = values.reduce((sum, value) => sum + value, 0) / values.length;
      for (const value of values) {
        all += (value - whole) ** 2;
        within += (value - mean) ** 2;
      }
    }
  }
  return all > 0 ? 1 - within / all : 1;
}

/** Between four pixels; paper beyond the picture. */
function bilinearAt(
  { width, height, data }: Gray,
  { x, y }: { readonly x: number; readonly y: number },
): number {
  const [left, top] = [Math.floor(x - 0.5), Math.floor(y - 0.5)];
  const [u, v] = [x - 0.5 - left, y - 0.5 - top];
  const at = (i: number, j: number): number =>
    i < 0 || j < 0 || i >= width || j >= height ? 255 : data[j * width + i];
  const upper = (1 - u) * at(left, top) + u * at(left + 1, top);
  const lower = (1 - u) * at(left, top + 1) + u * at(left + 1, top + 1);
  return (1 - v) * upper + v * lower;
}
