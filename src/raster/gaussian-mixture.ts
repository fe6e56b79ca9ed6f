import type { Colours } from './colours.js';

/** A sum of Gaussians over colours: which colours a part of a picture has, and how often. */
export interface GaussianMixture {
  readonly parts: readonly Gaussian[];
}

interface Gaussian {
  readonly mean: readonly [number, number, number];
  /** The inverse of the covariance, its upper triangle: xx, xy, xz, yy, yz, zz. */
  readonly inverse: readonly number[];
  /** The logarithm of its weight over the root of its determinant; (2 π)^(3/2) is left out everywhere. */
  readonly logScale: number;
}

/** As many as C. Rother, V. Kolmogorov & A. Blake take ("GrabCut", ACM Transactions on Graphics 23(3), 2004). */
const PARTS = 5;
/** No colour is sharper than this, in squared levels: grain, and what a lossy picture file leaves of a flat colour. */
const GRAIN = 9;
/** A part of fewer pixels says nothing about a spread. */
const FEWEST = 4;

/** Sums over the colours of a part. */
type Sums = Float64Array;
/** Numbers in them: a count, a sum for each of the three channels, and for each of their six products. */
const SUMS = 10;

/**
 * Describes the colours of the chosen pixels by up to five Gaussians, by splitting: the part with the widest spread is
 * parted across its widest direction, through its mean.
 *
 * M. T. Orchard & C. A. Bouman, Color quantization of images, IEEE Transactions on Signal Processing 39(12), 1991.
 *
 * @param chosen one byte a pixel: the value `which` chooses it
 */
export function mixtureOf({ data }: Colours, chosen: Uint8Array, which: number): GaussianMixture {
  const part = new Int8Array(chosen.length).fill(-1);
  for (let i = 0; i < chosen.length; i++) if (chosen[i] === which) part[i] = 0;
  let parts = 1;
  for (; parts < PARTS; parts++) {
    const sums = sumsOf(data, part, parts);
    const spreads = sums.map(spreadOf);
    const widest = spreads.reduce(
      (best, { length }, k) => (length > spreads[best].length ? k : best),
      0,
    );
    if (spreads[widest].length <= 2 * GRAIN) break;
    split(data, part, widest, parts, sums[widest], spreads[widest].direction);
  }
  return learned(sumsOf(data, part, parts));
}

/** Learns the mixture anew: each chosen pixel counts for the Gaussian that explains it best. */
export function relearned(
  mixture: GaussianMixture,
  { data }: Colours,
  chosen: Uint8Array,
  which: number,
): GaussianMixture {
  const part = new Int8Array(chosen.length).fill(-1);
  for (let i = 0; i < chosen.length; i++) {
    if (chosen[i] === which) part[i] = likeliest(mixture, data, 3 * i);
  }
  return learned(sumsOf(data, part, mixture.parts.length));
}

/** How unlikely a mixture finds the colour at `at`: the negative logarithm of its density, up to a constant. */
export function negativeLogLikelihood(
  { parts }: GaussianMixture,
  data: Uint8Array,
  at: number,
): number {
  let most = -Infinity;
  let sum = 0;
  for (const part of parts) {
    const log = logDensity(part, data, at);
    if (log > most) {
      sum = sum * Math.exp(most - log) + 1;
      most = log;
    } else {
      sum += Math.exp(log - most);
    }
  }
  return -(most + Math.log(sum));
}

function likeliest({ parts }: GaussianMixture, data: Uint8Array, at: number): number {
  let best = 0;
  let most = -Infinity;
  for (let k = 0; k < parts.length; k++) {
    const log = logDensity(parts[k], data, at);
    if (log <= most) continue;
    most = log;
    best = k;
  }
  return best;
}

function logDensity({ mean, inverse, logScale }: Gaussian, data: Uint8Array, at: number): number {
  const x = data[at] - mean[0];
  const y = data[at + 1] - mean[1];
  const z = data[at + 2] - mean[2];
  const [xx, xy, xz, yy, yz, zz] = inverse;
  return (
    logScale - (xx * x * x + yy * y * y + zz * z * z) / 2 - (xy * x * y + xz * x * z + yz * y * z)
  );
}

function sumsOf(data: Uint8Array, part: Int8Array, parts: number): Sums[] {
  const sums = Array.from({ length: parts }, () => new Float64Array(SUMS));
  for (let i = 0; i < part.length; i++) {
    if (part[i] < 0) continue;
    const sum = sums[part[i]];
    const [x, y, z] = [data[3 * i], data[3 * i + 1], data[3 * i + 2]];
    sum[0]++;
    sum[1] += x;
    sum[2] += y;
    sum[3] += z;
    sum[4] += x * x;
    sum[5] += x * y;
    sum[6] += x * z;
    sum[7] += y * y;
    sum[8] += y * z;
    sum[9] += z * z;
  }
  return sums;
}

function meanOf([count, x, y, z]: Sums): readonly [number, number, number] {
  return [x / count, y / count, z / count];
}

/** The upper triangle of the covariance: xx, xy, xz, yy, yz, zz. */
function covarianceOf(sums: Sums): readonly number[] {
  const [count] = sums;
  const [x, y, z] = meanOf(sums);
  return [x * x, x * y, x * z, y * y, y * z, z * z].map((product, k) =>
    count > 0 ? sums[4 + k] / count - product : 0,
  );
}

/**
 * Steps of the power iteration: against a spread of half the variance a 4096th is left, and of two alike either will
 * do.
 */
const ROUNDS = 12;
/** It begins a little off the sum of the rows, which may be nothing or lie across the axis that is looked for. */
const NUDGE = [1e-6, 2e-6, 3e-6];

/** The direction in which a part is widest, and its variance along it: the first eigenvector, by power iteration. */
function spreadOf(sums: Sums): { readonly length: number; readonly direction: readonly number[] } {
  if (sums[0] < 2 * FEWEST) return { length: 0, direction: [1, 0, 0] };
  const [xx, xy, xz, yy, yz, zz] = covarianceOf(sums);
  let direction = [xx + xy + xz, xy + yy + yz, xz + yz + zz].map((sum, k) => sum + NUDGE[k]);
  let length = 0;
  for (let round = 0; round < ROUNDS; round++) {
    const [x, y, z] = direction;
    const size = Math.hypot(x, y, z) || 1;
    const [u, v, w] = [x / size, y / size, z / size];
    direction = [xx * u + xy * v + xz * w, xy * u + yy * v + yz * w, xz * u + yz * v + zz * w];
    length = Math.hypot(...direction);
  }
  return { length, direction };
}

function split(
  data: Uint8Array,
  part: Int8Array,
  from: number,
  to: number,
  sums: Sums,
  [x, y, z]: readonly number[],
): void {
  const mean = meanOf(sums);
  const level = mean[0] * x + mean[1] * y + mean[2] * z;
  for (let i = 0; i < part.length; i++) {
    if (part[i] !== from) continue;
    if (data[3 * i] * x + data[3 * i + 1] * y + data[3 * i + 2] * z > level) part[i] = to;
  }
}

function learned(sums: readonly Sums[]): GaussianMixture {
  const total = sums.reduce((sum, [count]) => sum + count, 0);
  const parts = sums.filter(([count]) => count >= FEWEST).map((sum) => gaussianOf(sum, total));
  if (parts.length > 0) return { parts };
  const most = sums.reduce((best, sum) => (sum[0] > best[0] ? sum : best));
  return { parts: [gaussianOf(most, Math.max(total, 1))] };
}

function gaussianOf(sums: Sums, total: number): Gaussian {
  const [xx, xy, xz, yy, yz, zz] = covarianceOf(sums).map(
    (value, k) => value + (k === 0 || k === 3 || k === 5 ? GRAIN : 0),
  );
  const determinant =
    xx * (yy * zz - yz * yz) - xy * (xy * zz - yz * xz) + xz * (xy * yz - yy * xz);
  const inverse = [
    yy * zz - yz * yz,
    xz * yz - xy * zz,
    xy * yz - xz * yy,
    xx * zz - xz * xz,
    xz * xy - xx * yz,
    xx * yy - xy * xy,
  ].map((value) => value / determinant);
  return {
    mean: sums[0] > 0 ? meanOf(sums) : [128, 128, 128],
    inverse,
    logScale: Math.log(Math.max(sums[0], 1) / total) - Math.log(determinant) / 2,
  };
}
