import { gaussianBlur } from './blur.js';
import { downsampled, upsampled, type Field } from './field.js';

/**
 * Pixels that σ still spans on the grid on which a wide blur is made: coarser grids are faster, and would show in the
 * blur. By eye.
 */
const SPANNED = 4;

/** A Gaussian blur for a wide σ, in px: made on a grid where it spans a few pixels only. */
export function wideBlur(field: Field, sigma: number): Field {
  const factor = Math.max(1, Math.floor(sigma / SPANNED));
  const blurred = gaussianBlur(downsampled(field, factor), sigma / factor);
  return upsampled(blurred, factor, field.width, field.height);
}
