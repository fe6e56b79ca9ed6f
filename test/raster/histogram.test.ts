import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { histogramOf, otsu, quantile } from '../../src/raster/histogram.js';

const counts = (...pairs: readonly (readonly [value: number, count: number])[]): Float64Array => {
  const histogram = new Float64Array(256);
  for (const [value, count] of pairs) histogram[value] += count;
  return histogram;
};

const histograms = fc
  .array(fc.tuple(fc.integer({ min: 0, max: 255 }), fc.integer({ min: 1, max: 1000 })), {
    minLength: 2,
    maxLength: 40,
  })
  .map((pairs) => counts(...pairs))
  .filter((histogram) => histogram.filter((count) => count > 0).length > 1);

/** Otsu 1979, equations 2 to 5 as they stand: the two classes' variance, from every pixel. */
function varianceWithin(histogram: Float64Array, level: number): number {
  const values = [...histogram].flatMap((count, value) => (count > 0 ? [{ value, count }] : []));
  return [
    values.filter(({ value }) => value <= level),
    values.filter(({ value }) => value > level),
  ].reduce((sum, members) => {
    const size = members.reduce((all, { count }) => all + count, 0);
    const mean = members.reduce((all, { value, count }) => all + (value * count) / size, 0);
    return sum + members.reduce((all, { value, count }) => all + count * (value - mean) ** 2, 0);
  }, 0);
}

describe('histogramOf', () => {
  it('counts real values at the nearest whole number and keeps to 0 … 255', () => {
    const data = Float32Array.of(-7, 0.4, 0.6, 99.5, 254.9, 300);
    const histogram = histogramOf({ width: 6, height: 1, data });
    expect(histogram).toEqual(counts([0, 2], [1, 1], [100, 1], [255, 2]));
  });
});

describe('otsu', () => {
  it('leaves the least variance within the classes, found by trying every level', () => {
    fc.assert(
      fc.property(histograms, (histogram) => {
        const { level } = otsu(histogram);
        const all = Array.from(histogram, (_, value) => varianceWithin(histogram, value));
        const least = Math.min(...all);
        expect(all[level] - least).toBeLessThanOrEqual(1e-6 * (1 + least));
      }),
      { seed: 1, numRuns: 200 },
    );
  });

  it('says how separable the classes are: the share of the variance that lies between them', () => {
    fc.assert(
      fc.property(histograms, (histogram) => {
        const { level, separability } = otsu(histogram);
        const whole = varianceWithin(histogram, 255);
        expect(separability).toBeCloseTo(1 - varianceWithin(histogram, level) / whole, 6);
      }),
      { seed: 2, numRuns: 200 },
    );
  });

  it('is half way between two values with nothing in between', () => {
    const { separability, ...split } = otsu(counts([10, 500], [210, 100]));
    expect(split).toEqual({ level: 109, darkShare: 5 / 6, darkMean: 10, lightMean: 210 });
    expect(separability).toBeCloseTo(1, 9);
  });

  it('calls a single value light and not separable', () => {
    expect(otsu(counts([77, 4]))).toEqual({
      level: -1,
      darkShare: 0,
      darkMean: 0,
      lightMean: 77,
      separability: 0,
    });
  });
});

describe('quantile', () => {
  it('is the value that the share does not pass', () => {
    const histogram = counts([3, 10], [50, 80], [200, 10]);
    expect([0, 0.1, 0.11, 0.9, 0.91, 1].map((share) => quantile(histogram, share))).toEqual([
      3, 3, 50, 50, 200, 200,
    ]);
  });
});
