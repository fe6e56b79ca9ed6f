import type { Bitmap, Box } from './raster.js';

/** A box of a raster of bytes, by itself. */
export function cropped(
  { width, data }: Pick<Bitmap, 'width' | 'data'>,
  { x, y, ...size }: Box,
): Bitmap {
  const part = new Uint8Array(size.width * size.height);
  for (let row = 0; row < size.height; row++) {
    const from = (y + row) * width + x;
    part.set(data.subarray(from, from + size.width), row * size.width);
  }
  return { ...size, data: part };
}

/**
 * The box round what is 1 and so many whole pixels round that, no further than the raster; one without pixels where
 * nothing is 1.
 */
export function boxRound({ width, height, data }: Bitmap, by: number): Box {
  let [left, right, top, bottom] = [width, -1, height, -1];
  for (let y = 0; y < height; y++) {
    const row = data.subarray(y * width, (y + 1) * width);
    const first = row.indexOf(1);
    if (first < 0) continue;
    left = Math.min(left, first);
    right = Math.max(right, row.lastIndexOf(1));
    top = Math.min(top, y);
    bottom = y;
  }
  if (bottom < 0) return { x: 0, y: 0, width: 0, height: 0 };
  const [x, y] = [Math.max(0, left - by), Math.max(0, top - by)];
  return {
    x,
    y,
    width: Math.min(width, right + 1 + by) - x,
    height: Math.min(height, bottom + 1 + by) - y,
  };
}

/** The left, top, right and bottom pixel of the box round some pixels of a raster; there must be one. */
export function boundsOfPixels(
  pixels: ArrayLike<number>,
  width: number,
): readonly [left: number, top: number, right: number, bottom: number] {
  let [left, top, right, bottom] = [Infinity, Infinity, -Infinity, -Infinity];
  for (let k = 0; k < pixels.length; k++) {
    const [x, y] = [pixels[k] % width, Math.floor(pixels[k] / width)];
    left = Math.min(left, x);
    top = Math.min(top, y);
    right = Math.max(right, x);
    bottom = Math.max(bottom, y);
  }
  return [left, top, right, bottom];
}
