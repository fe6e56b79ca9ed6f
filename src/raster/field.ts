import * as kernels from '../kernels/generated.js';
import { kernelArrays } from '../kernels/memory.js';
import { belowThreshold } from './pointwise.js';
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
export function downsampled(field: Field, factor: number): Field {
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
  const size = [stride, x, y, box.width, box.height, factor] as const;
  if (values instanceof Uint8Array) {
    const [source, means] = kernelArrays(
      [Uint8Array, values.length],
      [Float32Array, width * height],
    );
    source.set(values);
    kernels.blockMeansOfBytes(source, ...size, means);
    return { width, height, data: means.slice() };
  }
  const [source, means] = kernelArrays(
    [Float32Array, values.length],
    [Float32Array, width * height],
  );
  source.set(values);
  kernels.blockMeansOfReals(source, ...size, means);
  return { width, height, data: means.slice() };
}

/**
 * The way back from `downsampled`: to `width` × `height` by bilinear interpolation between the blocks' centres.
 */
export function upsampled(field: Field, factor: number, width: number, height: number): Field {
  if (factor === 1) return field;
  const [acrossAt, acrossShare] = placesAlong(width, field.width, factor);
  const [downAt, downShare] = placesAlong(height, field.height, factor);
  const [data, ax, ay, dx, dy, blended, out] = kernelArrays(
    [Float32Array, field.data.length],
    [Int32Array, width],
    [Float32Array, width],
    [Int32Array, height],
    [Float32Array, height],
    [Float32Array, field.width + 1],
    [Float32Array, width * height],
  );
  data.set(field.data);
  ax.set(acrossAt);
  ay.set(acrossShare);
  dx.set(downAt);
  dy.set(downShare);
  const size = [field.width, field.height] as const;
  kernels.interpolateBilinear(data, ...size, ax, ay, dx, dy, blended, width, height, out);
  return { width, height, data: out.slice() };
}

/**
 * `upsampled`, laid on a sheet, as marks: which of its values are under a limit.
 *
 * @param pictureBox where the field lies, in the sheet's pixels
 * @param mark 1 marks those that are under it, 0 the others; outside the box nothing is marked
 */
export function finerMarks(
  field: Field,
  factor: number,
  pictureBox: Box,
  sheet: { readonly width: number; readonly height: number },
  limit: number,
  mark: 0 | 1,
): Bitmap {
  const { data } = upsampled(field, factor, pictureBox.width, pictureBox.height);
  const marks = belowThreshold(data, limit, mark);
  const marked = new Uint8Array(sheet.width * sheet.height);
  for (let y = 0; y < pictureBox.height; y++) {
    const row = marks.subarray(y * pictureBox.width, (y + 1) * pictureBox.width);
    marked.set(row, (pictureBox.y + y) * sheet.width + pictureBox.x);
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
