import * as kernels from '../kernels/generated.js';
import { kernelArrays } from '../kernels/memory.js';
import type { Bitmap } from './raster.js';

/** How many pixels of a bitmap are opening. */
export function countOpening({ data }: Pick<Bitmap, 'data'>): number {
  const [bytes] = kernelArrays([Uint8Array, data.length]);
  bytes.set(data);
  return kernels.countSet(bytes, bytes.length);
}

/** How many sides of pixels lie between unlike values. */
export function countSides({ width, height, data }: Bitmap): number {
  let sides = 0;
  for (let y = 0; y < height; y++) {
    for (let x = 0; x < width; x++) {
      const i = y * width + x;
      if (x + 1 < width) sides += data[i] ^ data[i + 1];
      if (y + 1 < height) sides += data[i] ^ data[i + width];
    }
  }
  return sides;
}

/** How many pixels differ between two bitmaps of one size. */
export function countDifferent(a: Bitmap, b: Bitmap): number {
  const pixels = a.data.length;
  const [one, other] = kernelArrays([Uint8Array, pixels], [Uint8Array, pixels]);
  one.set(a.data);
  other.set(b.data);
  return kernels.countDifferent(one, other, pixels);
}
