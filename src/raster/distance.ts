import * as kernels from '../kernels/generated.js';
import { kernelArrays } from '../kernels/memory.js';
import type { Bitmap } from './raster.js';

/**
 * The exact squared Euclidean distance, in px², from each pixel's centre to the centre of the nearest pixel of
 * value `to`: 0 on such a pixel, Infinity where there is none within `reach`.
 *
 * Source: Felzenszwalb & Huttenlocher, "Distance transforms of sampled functions", Theory of Computing 8 (2012).
 *
 * @param reach in px; a short one is much faster on a raster with wide empty parts
 */
export function squaredDistance(bitmap: Bitmap, to: 0 | 1, reach = Infinity): Float32Array {
  return measure(bitmap, to, reach).squared.slice();
}

/**
 * What is further than some distances from all pixels of value `to`: a byte a pixel for each, 1 where it is.
 *
 * @param squaredPx the distances, squared, in px²
 */
export function furtherThan(bitmap: Bitmap, to: 0 | 1, squaredPx: readonly number[]): Uint8Array[] {
  const { source, squared } = measure(bitmap, to, Math.sqrt(Math.max(...squaredPx)) + 1);
  return squaredPx.map((limit) => {
    kernels.markBeyond(squared, squared.length, limit, source);
    return source.slice();
  });
}

/** The squared distances in the kernel's memory, and room for a byte a pixel: both last until the next kernel runs. */
function measure(
  { width, height, data }: Bitmap,
  to: 0 | 1,
  reach: number,
): { readonly source: Uint8Array; readonly squared: Float32Array } {
  const pixels = width * height;
  const [source, squared, ...room] = kernelArrays(
    [Uint8Array, pixels],
    [Float32Array, pixels],
    ...distanceRoom(width, height),
  );
  source.set(data);
  kernels.squaredDistance(source, width, height, to, ...reachOf(reach), squared, ...room);
  return { source, squared };
}

/** The working memory of the kernel: distances along the columns, and one row's parabolas. */
export function distanceRoom(width: number, height: number) {
  return [
    [Uint16Array, width * height],
    [Int32Array, width],
    [Float64Array, width + kernels.ROW_EXTRA],
  ] as const;
}

/** What the kernel wants to know of how far to look: a whole number of px, and the largest squared distance. */
export function reachOf(reach: number): readonly [number, number] {
  return [Math.min(kernels.FAR, Math.ceil(reach) + 1), reach * reach];
}
