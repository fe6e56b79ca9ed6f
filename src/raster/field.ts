import type { Box, Gray } from './raster.js';

/** A picture of real numbers, row by row from the top left; for lightness, 0 black to 255 white. */
export interface Field {
  readonly width: number;
  readonly height: number;
  readonly data: Float32Array;
}

/**
 * A box of a grey picture, on a grid `factor` times coarser: each value is the mean of its block of pixels.
 * Blocks at the right and the bottom that reach over the box are the mean of what there is.
 *
 * @param box lies within the picture
 * @param factor a whole number, 1 or more
 */
export function fieldOf(gray: Gray, box: Box, factor = 1): Field {
  return blockMeans(gray.data, gray.width, box, factor);
}

/** The field on a grid `factor` times coarser, as `fieldOf` does it. */
export function coarser(field: Field, factor: number): Field {
  const { width, height } = field;
  return factor === 1
    ? field
    : blockMeans(field.data, width, { x: 0, y: 0, width, height }, factor);
}

function blockMeans(
  source: Uint8Array | Float32Array,
  stride: number,
  box: Box,
  factor: number,
): Field {
  const width = Math.ceil(box.width / factor);
  const height = Math.ceil(box.height / factor);
  const data = new Float32Array(width * height);
  for (let row = 0; row < height; row++) {
    const top = row * factor;
    const bottom = Math.min(top + factor, box.height);
    for (let column = 0; column < width; column++) {
      const left = column * factor;
      const right = Math.min(left + factor, box.width);
      let sum = 0;
      for (let y = top; y < bottom; y++) {
        const start = (box.y + y) * stride + box.x;
        for (let i = start + left; i < start + right; i++) sum += source[i];
      }
      data[row * width + column] = sum / ((bottom - top) * (right - left));
    }
  }
  return { width, height, data };
}

/**
 * The inverse of `coarser`: back to `width` × `height` by bilinear interpolation between the blocks' centres.
 */
export function finer(field: Field, factor: number, width: number, height: number): Field {
  if (factor === 1) return field;
  const data = new Float32Array(width * height);
  finerRows(field, factor, width, height, (row, y) => data.set(row, y * width));
  return { width, height, data };
}

/**
 * `finer`, a row at a time: for who needs no more than a look at every value.
 *
 * @param take gets each row from the top down; the array is used again for the next
 */
export function finerRows(
  field: Field,
  factor: number,
  width: number,
  height: number,
  take: (row: Float32Array, y: number) => void,
): void {
  const across = placesAlong(width, field.width, factor);
  const down = placesAlong(height, field.height, factor);
  const blended = new Float32Array(field.width + 1);
  const row = new Float32Array(width);
  for (let y = 0; y < height; y++) {
    const first = down.index[y] * field.width;
    const second = Math.min(down.index[y] + 1, field.height - 1) * field.width;
    const share = down.share[y];
    for (let column = 0; column < field.width; column++) {
      const value = field.data[first + column];
      blended[column] = value + share * (field.data[second + column] - value);
    }
    blended[field.width] = blended[field.width - 1];
    for (let x = 0; x < width; x++) {
      const left = across.index[x];
      const value = blended[left];
      row[x] = value + across.share[x] * (blended[left + 1] - value);
    }
    take(row, y);
  }
}

/** For each fine pixel: the coarse pixel at or before its centre, and how far it is towards the next, 0 to 1. */
function placesAlong(
  fine: number,
  coarse: number,
  factor: number,
): { readonly index: Int32Array; readonly share: Float32Array } {
  const index = new Int32Array(fine);
  const share = new Float32Array(fine);
  for (let i = 0; i < fine; i++) {
    const place = Math.min(Math.max((i + 0.5) / factor - 0.5, 0), coarse - 1);
    index[i] = Math.floor(place);
    share[i] = place - index[i];
  }
  return { index, share };
}
