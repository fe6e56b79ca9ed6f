import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { squaredDistance } from '../../src/raster/distance.js';
import { bitmaps } from '../support/bitmaps.js';

function byHand(width: number, data: Uint8Array, to: number, i: number): number {
  let best = Infinity;
  for (let j = 0; j < data.length; j++) {
    if (data[j] !== to) continue;
    const dx = (j % width) - (i % width);
    const dy = Math.floor(j / width) - Math.floor(i / width);
    best = Math.min(best, dx * dx + dy * dy);
  }
  return best;
}

describe('squaredDistance', () => {
  it('is the distance to the nearest pixel, found by trying all', () => {
    fc.assert(
      fc.property(bitmaps(1, 24), fc.constantFrom(0, 1), (bitmap, to) => {
        const squared = squaredDistance(bitmap, to);
        squared.forEach((d, i) => expect(d).toBe(byHand(bitmap.width, bitmap.data, to, i)));
      }),
      { seed: 1, numRuns: 60 },
    );
  });

  it('is Infinity beyond its reach and the same within it', () => {
    fc.assert(
      fc.property(bitmaps(1, 40), fc.integer({ min: 1, max: 12 }), (bitmap, reach) => {
        const all = squaredDistance(bitmap, 1);
        const near = squaredDistance(bitmap, 1, reach);
        all.forEach((d, i) => expect(near[i]).toBe(d <= reach * reach ? d : Infinity));
      }),
      { seed: 2, numRuns: 60 },
    );
  });

  it('is Infinity where there is no such pixel', () => {
    const empty = { width: 3, height: 2, data: new Uint8Array(6) };
    expect([...squaredDistance(empty, 1)]).toEqual(Array(6).fill(Infinity));
    expect([...squaredDistance(empty, 0)]).toEqual(Array(6).fill(0));
  });
});
