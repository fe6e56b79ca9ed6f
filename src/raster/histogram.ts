import type { Field } from './field.js';
import type { Gray } from './raster.js';

/** How many pixels have each lightness, 0 to 255. */
export type Histogram = Float64Array;

/** Counts the pixels of a picture, each at its nearest whole number from 0 to 255. */
export function histogramOf({ data }: Gray | Field): Histogram {
  const counts = new Float64Array(256);
  for (let i = 0; i < data.length; i++) {
    const value = data[i] + 0.5;
    counts[value < 0 ? 0 : value >= 256 ? 255 : Math.floor(value)]++;
  }
  return counts;
}

/** The two classes that a level parts a picture into. */
export interface Split {
  /** The lightest value of the dark class, 0 to 255; −1 when there is no dark class. */
  readonly level: number;
  /** The share of the pixels that is dark, 0 to 1. */
  readonly darkShare: number;
  readonly darkMean: number;
  readonly lightMean: number;
  /**
   * How well the two classes account for the picture: the variance between them against the whole variance,
   * 0 (not at all) to 1 (the picture has two values and no others).
   */
  readonly separability: number;
}

/**
 * The level that parts a histogram into the two classes with the largest variance between them; the middle one
 * when several do equally well, as between two values with nothing in between.
 *
 * N. Otsu, A threshold selection method from gray-level histograms, IEEE Transactions on Systems, Man and
 * Cybernetics 9(1), 1979; `separability` is his η.
 *
 * @returns the split; with fewer than two values in use everything is light and the separability 0
 */
export function otsu(histogram: Histogram): Split {
  const { total, sum, variance } = momentsOf(histogram);
  let best = 0;
  let last = -1;
  let split = { level: -1, darkShare: 0, darkMean: 0, lightMean: total > 0 ? sum / total : 255 };
  let dark = 0;
  let darkSum = 0;
  for (let value = 0; value < histogram.length; value++) {
    dark += histogram[value];
    darkSum += histogram[value] * value;
    if (dark === 0) continue;
    if (dark === total) break;
    const darkMean = darkSum / dark;
    const lightMean = (sum - darkSum) / (total - dark);
    const between = (dark / total) * (1 - dark / total) * (lightMean - darkMean) ** 2;
    if (between > best) {
      best = between;
      split = { level: value, darkShare: dark / total, darkMean, lightMean };
    }
    if (between === best) last = value;
  }
  if (best > 0) split.level = Math.floor((split.level + last) / 2);
  return { ...split, separability: best > 0 ? Math.min(1, best / variance) : 0 };
}

function momentsOf(histogram: Histogram) {
  let total = 0;
  let sum = 0;
  let squares = 0;
  for (let value = 0; value < histogram.length; value++) {
    total += histogram[value];
    sum += histogram[value] * value;
    squares += histogram[value] * value * value;
  }
  return { total, sum, variance: squares / total - (sum / total) ** 2 };
}

/** The lowest value that at least the given share (0 to 1) of the pixels does not pass. */
export function quantile(histogram: Histogram, share: number): number {
  const wanted = share * momentsOf(histogram).total;
  let seen = 0;
  for (let value = 0; value < histogram.length; value++) {
    seen += histogram[value];
    if (seen >= wanted && seen > 0) return value;
  }
  return histogram.length - 1;
}
