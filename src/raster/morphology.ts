import { furtherThan } from './distance.js';
import type { Bitmap } from './raster.js';

/*
 * Mathematical morphology with a disk, by exact distances: J. Serra, "Image analysis and mathematical morphology",
 * Academic Press 1982. A radius is in px, between the centres of pixels; what lies outside of the raster counts as nothing.
 */

/** What lies within a radius of what is 1. */
export function dilated(bitmap: Bitmap, radius: number): Bitmap {
  const [data] = furtherThan(bitmap, 1, [radius * radius]);
  for (let i = 0; i < data.length; i++) data[i] = 1 - data[i];
  return { ...bitmap, data };
}

/** Erosion by a disk: the pixels of value 1 that lie further than `radius` px from every 0. */
export function eroded(bitmap: Bitmap, radius: number): Bitmap {
  const [inside] = furtherThan(bitmap, 0, [radius * radius]);
  return { ...bitmap, data: inside };
}

/** What is 1, and what of the rest a disk of a radius does not fit into. */
export function closed(bitmap: Bitmap, radius: number): Bitmap {
  return eroded(dilated(bitmap, radius), radius);
}

/** What of what is 1 a disk of a radius fits into. */
export function opened(bitmap: Bitmap, radius: number): Bitmap {
  return dilated(eroded(bitmap, radius), radius);
}

/** The pixels of value 1 that share a side with a 0, as 1; the raster's own rim is left out. */
export function innerBorder({ width, height, data }: Bitmap): Bitmap {
  const border = new Uint8Array(data.length);
  for (let y = 1; y < height - 1; y++) {
    for (let i = y * width + 1; i < (y + 1) * width - 1; i++) {
      if (data[i] === 0) continue;
      const inside = data[i - 1] & data[i + 1] & data[i - width] & data[i + width];
      border[i] = 1 - inside;
    }
  }
  return { width, height, data: border };
}

/** What is 1 in both of two bitmaps of one size. */
export function intersection({ width, height, data }: Bitmap, other: Bitmap): Bitmap {
  return { width, height, data: data.map((value, i) => value & other.data[i]) };
}
