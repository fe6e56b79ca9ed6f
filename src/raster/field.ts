import { under } from './pointwise.js';
import type { Bitmap, Box, Gray } from './raster.js';

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
  values: Uint8Array | Float32Array,
  stride: number,
  { x, y, ...box }: Box,
  factor: number,
): Field {
  const width = Math.ceil(box.width / factor);
  const height = Math.ceil(box.height / factor);
  const data = new Float32Array(width * height);
  let n = 0;
  for (let top = 0; top < box.height; top += factor) {
    const bottom = Math.min(top + factor, box.height);
    for (let left = 0; left < box.width; left += factor) {
      const right = Math.min(left + factor, box.width);
      let sum = 0;
      for (let row = top; row < bottom; row++) {
        const start = (y + row) * stride + x;
        for (let i = start + left; i < start + right; i++) sum += values[i];
      }
      data[n++] = sum / ((bottom - top) * (right - left));
    }
  }
  return { width, height, data };
}

/**
 * The inverse of `coarser`: back to `width` × `height` by bilinear interpolation between the blocks' centres.
 */
export function finer(field: Field, factor: number, width: number, height: number): Field {
  if (factor === 1) return field;
  const columns = field.width;
  const [across, acrossShare] = placesAlong(width, columns, factor);
  const [down, downShare] = placesAlong(height, field.height, factor);
  const data = new Float32Array(width * height);
  /** One row of the field's columns, and once more the last of them. */
  const blended = new Float32Array(columns + 1);
  for (let y = 0; y < height; y++) {
    const first = down[y] * columns;
    const second = Math.min(down[y] + 1, field.height - 1) * columns;
    for (let column = 0; column < columns; column++) {
      const value = field.data[first + column];
      blended[column] = value + downShare[y] * (field.data[second + column] - value);
    }
    blended[columns] = blended[columns - 1];
    for (let x = 0; x < width; x++) {
      const value = blended[across[x]];
      data[y * width + x] = value + acrossShare[x] * (blended[across[x] + 1] - value);
    }
  }
  return { width, height, data };
}

/**
 * `finer`, laid on a sheet, and no more of it than which values are under a limit.
 *
 * @param frame where the field lies, in the sheet's pixels
 * @param mark 1 marks those that are under it, 0 the others; outside the frame nothing is marked
 */
export function finerMarks(
  field: Field,
  factor: number,
  frame: Box,
  sheet: { readonly width: number; readonly height: number },
  limit: number,
  mark: 0 | 1,
): Bitmap {
  const { data } = finer(field, factor, frame.width, frame.height);
  const marks = under(data, limit, mark);
  const marked = new Uint8Array(sheet.width * sheet.height);
  for (let y = 0; y < frame.height; y++) {
    const row = marks.subarray(y * frame.width, (y + 1) * frame.width);
    marked.set(row, (frame.y + y) * sheet.width + frame.x);
  }
  return { width: sheet.width, height: sheet.height, data: marked };
}

/** For each fine pixel: the coarse pixel at or before its centre, and how far it is towards the next, 0 to 1. */
function placesAlong(
  fine: number,
  coarse: number,
  factor: number,
): readonly [index: Int32Array, share: Float32Array] {
  const index = new Int32Array(fine);
  const share = new Float32Array(fine);
  for (let i = 0; i < fine; i++) {
    const place = Math.min(Math.max((i + 0.5) / factor - 0.5, 0), coarse - 1);
    index[i] = Math.floor(place);
    share[i] = place - index[i];
  }
  return [index, share];
}
