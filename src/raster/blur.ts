import * as kernels from '../kernels/generated.js';
import { kernelArrays } from '../kernels/memory.js';
import type { Field } from './field.js';

/**
 * A Gaussian blur whose time does not depend on σ.
 *
 * From σ 1.5 up it is Deriche's fourth-order recursive filter; below that, where the recursion's fit gets
 * poor, the sampled Gaussian itself. The picture is continued by its mirror image, so that its mean is kept.
 * An impulse comes out within 0.15 % of the Gaussian's peak.
 *
 * R. Deriche, Recursively implementing the Gaussian and its derivatives, INRIA research report 1893, 1993;
 * compared with other methods by P. Getreuer, A survey of Gaussian convolution algorithms, Image Processing
 * On Line 3, 2013.
 *
 * @param sigma in pixels, 0 or more
 * @returns a new field; the given one itself when `sigma` is 0
 */
export function gaussianBlur(field: Field, sigma: number): Field {
  if (sigma <= 0) return field;
  const { run, reach, numbers, scale } =
    sigma < SMALLEST_RECURSIVE_SIGMA ? sampledGaussian(sigma) : recursiveGaussian(sigma);
  const { width, height } = field;
  const longest = Math.max(width, height) + 2 * reach;
  const [data, turned, line, source, filter] = kernelArrays(
    [Float32Array, width * height],
    [Float32Array, width * height],
    [Float64Array, longest],
    [Int32Array, longest],
    [Float64Array, numbers.length],
  );
  data.set(field.data);
  filter.set(numbers);
  run(data, width, height, turned, line, source, reach, filter, scale);
  return { width, height, data: data.slice() };
}

/** Px: for a narrower Gaussian few samples do, and are exact; the fit of the recursion was made for wide ones. */
const SMALLEST_RECURSIVE_SIGMA = 1.5;

/** What a kernel blurs a line by, which it takes with `reach` more values at either end than it puts out. */
interface LineFilter {
  readonly run: typeof kernels.blurRecursively;
  readonly reach: number;
  readonly numbers: Float64Array;
  /** What the recursion's sum is multiplied by; of a sampled Gaussian the sum of its samples, by which is divided. */
  readonly scale: number;
}

/** The Gaussian sampled to 4 σ and scaled to a sum of 1. */
function sampledGaussian(sigma: number): LineFilter {
  const reach = Math.ceil(4 * sigma);
  const kernel = Float64Array.from({ length: 2 * reach + 1 }, (_, i) =>
    Math.exp(-((i - reach) ** 2) / (2 * sigma ** 2)),
  );
  const sum = kernel.reduce((total, weight) => total + weight, 0);
  return { run: kernels.blurBySamples, reach, numbers: kernel, scale: sum };
}

/**
 * Deriche's fit to the right half of exp(−x²/2): the sum of two waves
 * (cosine · cos(frequency x) + sine · sin(frequency x)) · exp(−decay x). His figures.
 */
const WAVES = [
  { cosine: 1.68, sine: 3.735, frequency: 0.6318, decay: 1.783 },
  { cosine: -0.6803, sine: -0.2598, frequency: 1.997, decay: 1.723 },
] as const;

/** What is left of the slowest wave after this many σ is 0.003 %: where the recursion starts no longer shows. */
const RECURSION_REACH = 6;

function recursiveGaussian(sigma: number): LineFilter {
  const [first, second] = WAVES.map((wave) => section(wave, sigma));
  const numerator = sum(
    product(first.numerator, second.denominator),
    product(second.numerator, first.denominator),
  );
  const [, d1, d2, d3, d4] = product(first.denominator, second.denominator);
  const [n0, n1, n2, n3] = numerator;
  // The left half is the right half's mirror image without the middle, which would count twice.
  const m1 = n1 - d1 * n0;
  const m2 = n2 - d2 * n0;
  const m3 = n3 - d3 * n0;
  const m4 = -d4 * n0;
  const fed = 1 + d1 + d2 + d3 + d4;
  const right = (n0 + n1 + n2 + n3) / fed;
  const left = (m1 + m2 + m3 + m4) / fed;
  return {
    run: kernels.blurRecursively,
    reach: Math.ceil(RECURSION_REACH * sigma),
    numbers: Float64Array.of(n0, n1, n2, n3, d1, d2, d3, d4, m1, m2, m3, m4, right, left),
    scale: 1 / (right + left),
  };
}

/** The recursion that has one wave, sampled at whole pixels, as its answer to an impulse. */
function section(wave: (typeof WAVES)[number], sigma: number) {
  const turn = wave.frequency / sigma;
  const fade = Math.exp(-wave.decay / sigma);
  return {
    numerator: [
      wave.cosine,
      fade * (wave.sine * Math.sin(turn) - wave.cosine * Math.cos(turn)),
    ] as const,
    denominator: [1, -2 * fade * Math.cos(turn), fade * fade] as const,
  };
}

/** The product of two polynomials, coefficients from the lowest power up. */
function product(a: readonly number[], b: readonly number[]): number[] {
  const result = new Array<number>(a.length + b.length - 1).fill(0);
  a.forEach((left, i) => b.forEach((right, j) => (result[i + j] += left * right)));
  return result;
}

function sum(a: readonly number[], b: readonly number[]): number[] {
  return a.map((value, i) => value + b[i]);
}
