import type { Bitmap } from './raster.js';

/** How many pixels of a bitmap are opening. */
export function countOpening({ data }: Pick<Bitmap, 'data'>): number {
  let count = 0;
  for (let i = 0; i < data.length; i++) if (data[i] !== 0) count++;
  return count;
}

/** How many pixels differ between two bitmaps of one size. */
export function countDifferent(a: Bitmap, b: Bitmap): number {
  let count = 0;
  for (let i = 0; i < a.data.length; i++) if (a.data[i] !== b.data[i]) count++;
  return count;
}
