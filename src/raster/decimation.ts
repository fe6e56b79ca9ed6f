import type { Bitmap } from './raster.js';

/**
 * Of every so many px across and down the one in the middle; the last ones that fill no step are left off.
 *
 * @param across whole px, 1 or more; `down` likewise
 */
export function decimated({ width, height, data }: Bitmap, across: number, down = across): Bitmap {
  const [columns, rows] = [Math.floor(width / across), Math.floor(height / down)];
  const few = new Uint8Array(columns * rows);
  for (let row = 0; row < rows; row++) {
    const first = (row * down + (down >> 1)) * width + (across >> 1);
    for (let column = 0; column < columns; column++) {
      few[row * columns + column] = data[first + column * across];
    }
  }
  return { width: columns, height: rows, data: few };
}

/**
 * Of every so many px across and down the first, on the grid of `fieldOf`: steps that the right or the bottom edge cuts
 * short have one, too. Their middle may lie beyond the edge, which is why it isn't taken here as `decimated` takes it.
 *
 * @param step whole px, 1 or more
 */
export function firstOfEach({ width, height, data }: Bitmap, step: number): Bitmap {
  if (step === 1) return { width, height, data };
  const [columns, rows] = [Math.ceil(width / step), Math.ceil(height / step)];
  const few = new Uint8Array(columns * rows);
  for (let row = 0, i = 0; row < rows; row++) {
    for (let column = 0; column < columns; column++, i++) {
      few[i] = data[row * step * width + column * step];
    }
  }
  return { width: columns, height: rows, data: few };
}
