import { labelRegions } from './labels.js';
import type { Bitmap } from './raster.js';

/**
 * Gives the regions of one value to the other where too little of their outline runs along a contour of the picture:
 * such a region is there by the level alone, and the picture has no shape in that place.
 *
 * After the validation of S. D. Yanowitz & A. M. Bruckstein, A new method for image segmentation, Computer Vision,
 * Graphics, and Image Processing 46(1), 1989, which drops regions whose outline is too faint.
 *
 * @param near 1 on the pixels that lie near enough to a contour
 * @param least the share of a region's outline, 0 to 1, that must lie there; what lies at the raster's rim counts as
 *   neither
 * @param smallerThan only regions of fewer pixels are looked at
 * @returns 1 on the pixels that change
 */
export function unfounded(
  bitmap: Bitmap,
  value: 0 | 1,
  near: Uint8Array,
  least: number,
  smallerThan = Infinity,
): Uint8Array {
  const { width, height, data } = bitmap;
  const { labels, count, areas } = labelRegions(bitmap, value, value === 1 ? 8 : 4);
  const outline = new Int32Array(count + 1);
  const founded = new Int32Array(count + 1);
  for (let y = 1; y < height - 1; y++) {
    for (let i = y * width + 1; i < (y + 1) * width - 1; i++) {
      const label = labels[i];
      if (label === 0) continue;
      const sides = data[i - 1] + data[i + 1] + data[i - width] + data[i + width];
      if (sides === 4 * value) continue;
      outline[label]++;
      founded[label] += near[i];
    }
  }
  const changes = new Uint8Array(labels.length);
  for (let i = 0; i < labels.length; i++) {
    const label = labels[i];
    if (areas[label] < smallerThan && founded[label] < least * outline[label]) changes[i] = 1;
  }
  return changes;
}
