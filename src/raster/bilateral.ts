import type { Field } from './field.js';

/** A weight is kept for each whole difference of two greys; larger ones have no weight that matters. */
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
  const rows = smoothLines(field.data, height, width, 1, width, near, close);
  const data = smoothLines(rows, width, height, width, 1, near, close);
  return { width, height, data };
}

/**
 * One direction of the filter.
 *
 * @param length how many values a line has
 * @param step from one value of a line to the next
 * @param stride from one line to the next
 * @param near weights by distance, from the neighbour outward
 * @param close weights by difference; all further apart have the last
 */
function smoothLines(
  data: Float32Array,
  lines: number,
  length: number,
  step: number,
  stride: number,
  near: Float64Array,
  close: Float64Array,
): Float32Array {
  const out = new Float32Array(data.length);
  const last = close.length - 1;
  for (let line = 0; line < lines; line++) {
    for (let place = 0; place < length; place++) {
      const i = line * stride + place * step;
      const value = data[i];
      let sum = value;
      let total = 1;
      for (let k = 0; k < near.length; k++) {
        if (place > k) {
          const other = data[i - (k + 1) * step];
          const weight = near[k] * close[Math.min(last, Math.floor(Math.abs(other - value)))];
          sum += weight * other;
          total += weight;
        }
        if (place + k + 1 < length) {
          const other = data[i + (k + 1) * step];
          const weight = near[k] * close[Math.min(last, Math.floor(Math.abs(other - value)))];
          sum += weight * other;
          total += weight;
        }
      }
      out[i] = sum / total;
    }
  }
  return out;
}
