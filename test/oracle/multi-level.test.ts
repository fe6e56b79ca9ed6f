import sharp from 'sharp';
import { describe, expect, it } from 'vitest';
import { histogramOf, otsu, type Histogram } from '../../src/raster/histogram.js';
import { otsuLevels } from '../../src/raster/multi-level.js';
import { seeded } from '../support/bitmaps.js';
import { photographFile, photographs } from '../support/photographs.js';

/*
 * Levels of many classes: against every way to part a histogram, by the variance between classes as N. Otsu defines it
 * (IEEE Transactions on Systems, Man and Cybernetics 9(1), 1979): the weighted squares of the classes' distances from
 * the mean of all. For one level, on photographs, against the method for one, which is held against a reference library
 * in level.test.ts.
 */

function variance(histogram: Histogram, levels: readonly number[]): number {
  const total = histogram.reduce((sum, count) => sum + count, 0);
  const mean = histogram.reduce((sum, count, value) => sum + count * value, 0) / total;
  const ends = [-1, ...levels, 255];
  let between = 0;
  for (let k = 0; k + 1 < ends.length; k++) {
    let [count, sum] = [0, 0];
    for (let value = ends[k] + 1; value <= ends[k + 1]; value++) {
      count += histogram[value];
      sum += histogram[value] * value;
    }
    if (count > 0) between += (count / total) * (sum / count - mean) ** 2;
  }
  return between;
}

/** The most that any choice of levels reaches. */
function most(histogram: Histogram, values: readonly number[], count: number): number {
  const choose = (from: number, left: number, levels: readonly number[]): number => {
    if (left === 0) return variance(histogram, levels);
    let best = 0;
    for (let k = from; k <= values.length - 1 - left; k++) {
      best = Math.max(best, choose(k + 1, left - 1, [...levels, values[k]]));
    }
    return best;
  };
  return choose(0, count, []);
}

describe('levels of many classes', () => {
  it.each([1, 2, 3, 4, 5])('with %d levels reach what no other choice passes', (count) => {
    const random = seeded(count);
    for (let round = 0; round < 12; round++) {
      const histogram = new Float64Array(256);
      const used = count + 1 + Math.floor(random() * 9);
      for (let k = 0; k < used; k++) {
        histogram[Math.floor(random() * 256)] += 1 + Math.floor(1000 * random() ** 3);
      }
      const values = [...histogram.keys()].filter((value) => histogram[value] > 0);
      const levels = otsuLevels(histogram, count);
      expect(levels).toHaveLength(Math.min(count, values.length - 1));
      expect(levels).toEqual([...levels].sort((a, b) => a - b));
      expect(variance(histogram, levels)).toBeCloseTo(most(histogram, values, levels.length), 6);
    }
  });

  it.each(photographs)('with one level are Otsu’s on %s', async (name) => {
    const { data, info } = await sharp(photographFile(name))
      .greyscale()
      .resize(400)
      .extractChannel(0)
      .raw()
      .toBuffer({ resolveWithObject: true });
    const histogram = histogramOf({ width: info.width, height: info.height, data });
    expect(otsuLevels(histogram, 1)).toEqual([otsu(histogram).level]);
  });

  it('are none where there is one tone, and fewer where there are few', () => {
    const flat = new Float64Array(256);
    flat[80] = 9;
    expect(otsuLevels(flat, 3)).toEqual([]);
    flat[120] = 5;
    expect(otsuLevels(flat, 3)).toEqual([99]);
  });
});
