import { findRegions } from './labels.js';
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
export function unsupportedRegions(
  bitmap: Bitmap,
  value: 0 | 1,
  near: Uint8Array,
  least: number,
  smallerThan = Infinity,
): Uint8Array {
  const { width, height, data } = bitmap;
  const { starts, ends, numbers, areas } = findRegions(bitmap, value, value === 1 ? 8 : 4);
  const outline = new Int32Array(areas.length);
  const supported = new Int32Array(areas.length);
  for (let run = 0; run < starts.length; run++) {
    const y = Math.floor(starts[run] / width);
    if (y === 0 || y === height - 1) continue;
    const number = numbers[run];
    const last = Math.min(ends[run], (y + 1) * width - 1);
    for (let i = Math.max(starts[run], y * width + 1); i < last; i++) {
      const sides = data[i - 1] + data[i + 1] + data[i - width] + data[i + width];
      if (sides === 4 * value) continue;
      outline[number]++;
      supported[number] += near[i];
    }
  }
  const changes = new Uint8Array(width * height);
  for (let run = 0; run < starts.length; run++) {
    const number = numbers[run];
    if (areas[number] >= smallerThan || supported[number] >= least * outline[number]) continue;
    changes.fill(1, starts[run], ends[run]);
  }
  return changes;
}
