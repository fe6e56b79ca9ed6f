import { describe, expect, it } from 'vitest';
import { labelRegions, type Regions } from '../../src/raster/labels.js';
import { nearestPair } from '../../src/raster/nearest-pair.js';
import { drawn, seeded } from '../support/bitmaps.js';

describe('nearestPair', () => {
  it('goes straight across, at the first of several places', () => {
    const bars = drawn(
      '##...', //
      '##.##',
      '...##',
      '##...',
    );
    const regions = labelRegions(bars, 1, 4);
    expect(nearestPair(regions, 5, 1, [2])).toEqual([
      { x: 1, y: 1 },
      { x: 3, y: 1 },
    ]);
    expect(nearestPair(regions, 5, 1, [2, 3])).toEqual([
      { x: 0, y: 1 },
      { x: 0, y: 3 },
    ]);
  });

  it('finds what a search over all pairs of pixels finds', () => {
    const random = seeded(11);
    for (let round = 0; round < 60; round++) {
      const [width, height] = [5 + Math.floor(20 * random()), 5 + Math.floor(20 * random())];
      const dark = 0.1 + 0.5 * random();
      const data = Uint8Array.from({ length: width * height }, () => Number(random() < dark));
      const regions = labelRegions({ width, height, data }, 1, 8);
      const numbers = Array.from({ length: regions.count }, (_, k) => k + 1);
      const one = numbers[Math.floor(numbers.length * random())];
      const others = numbers.filter((number) => number !== one && random() < 0.5);
      if (others.length === 0) continue;
      expect(nearestPair(regions, width, one, others)).toEqual(
        byAllPairs(regions, width, one, others),
      );
    }
  });
});

/** By brute force: the first pixel with the least distance to the others, and the first of those nearest to it. */
function byAllPairs({ labels }: Regions, width: number, one: number, others: readonly number[]) {
  const pixels = [...labels.keys()].map((i) => ({ x: i % width, y: Math.floor(i / width), i }));
  const mine = pixels.filter(({ i }) => labels[i] === one);
  const theirs = pixels.filter(({ i }) => others.includes(labels[i]));
  const apart = (a: (typeof pixels)[number], b: (typeof pixels)[number]) =>
    (a.x - b.x) ** 2 + (a.y - b.y) ** 2;
  const least = (to: (typeof pixels)[number]) => Math.min(...theirs.map((b) => apart(to, b)));
  const from = mine.reduce((best, a) => (least(a) < least(best) ? a : best));
  const to = theirs.reduce((best, b) => (apart(from, b) < apart(from, best) ? b : best));
  return [from, to].map(({ x, y }) => ({ x, y }));
}
