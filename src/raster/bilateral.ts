import * as kernels from '../kernels/generated.js';
import { kernelArrays } from '../kernels/memory.js';
import type { Field } from './field.js';

/** Differences of more levels than this have no weight that matters. */
const LEVELS = 256;

/**
 * Smooths what is nearly alike and keeps edges: texture goes, masses stay sharp.
 *
 * C. Tomasi & R. Manduchi, Bilateral filtering for gray and color images, ICCV 1998; first along the rows, then along
 * the columns: T. Q. Pham & L. J. van Vliet, Separable bilateral filtering for fast video preprocessing, ICME 2005.
 *
 * @param sigma over how many pixels values are averaged; weights are taken to 2 σ
 * @param alike how far apart, in levels (σ), values still count as alike
 */
export function bilateral(field: Field, sigma: number, alike: number): Field {
  const near = Float64Array.from({ length: Math.ceil(2 * sigma) }, (_, i) =>
    Math.exp(-((i + 1) ** 2) / (2 * sigma ** 2)),
  );
  const close = Float64Array.from({ length: LEVELS }, (_, difference) =>
    Math.exp(-(difference ** 2) / (2 * alike ** 2)),
  );
  const { width, height } = field;
  const pixels = width * height;
  const [data, rows, byDistance, byDifference] = kernelArrays(
    [Float32Array, pixels],
    [Float32Array, pixels],
    [Float64Array, near.length],
    [Float64Array, LEVELS],
  );
  data.set(field.data);
  byDistance.set(near);
  byDifference.set(close);
  const weights = [byDistance, near.length, byDifference, LEVELS] as const;
  kernels.bilateralLines(data, height, width, 1, width, ...weights, rows);
  kernels.bilateralLines(rows, width, height, width, 1, ...weights, data);
  return { width, height, data: data.slice() };
}
