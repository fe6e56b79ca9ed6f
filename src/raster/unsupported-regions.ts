import * as kernels from '../kernels/generated.js';
import { kernelArrays } from '../kernels/memory.js';
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
  const runs = starts.length;
  const pixels = width * height;
  const [source, isNear, froms, tos, ofs, sizes, outline, supported, changes] = kernelArrays(
    [Uint8Array, pixels],
    [Uint8Array, pixels],
    [Int32Array, runs],
    [Int32Array, runs],
    [Int32Array, runs],
    [Int32Array, areas.length],
    [Int32Array, areas.length],
    [Int32Array, areas.length],
    [Uint8Array, pixels],
  );
  source.set(data);
  isNear.set(near);
  froms.set(starts);
  tos.set(ends);
  ofs.set(numbers);
  sizes.set(areas);
  for (const room of [outline, supported, changes]) room.fill(0);
  const regions = [froms, tos, ofs, runs, sizes] as const;
  const limits = [least, smallerThan] as const;
  kernels.markUnsupported(source, width, height, value, ...regions, isNear, ...limits, outline, supported, changes); // prettier-ignore
  return changes.slice();
}
