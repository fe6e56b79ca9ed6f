import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { countDifferent, countOpening } from '../../src/raster/count.js';
import { bitmaps } from '../support/bitmaps.js';

describe('counting pixels', () => {
  it('counts the openings, whatever the length', () => {
    fc.assert(
      fc.property(bitmaps(1, 40), (bitmap) => {
        expect(countOpening(bitmap)).toBe([...bitmap.data].filter((value) => value === 1).length);
      }),
    );
  });

  it('counts where two bitmaps differ', () => {
    fc.assert(
      fc.property(bitmaps(1, 40), fc.integer({ min: 0, max: 1599 }), (bitmap, at) => {
        const data = bitmap.data.slice();
        const i = at % data.length;
        data[i] = 1 - data[i];
        expect(countDifferent(bitmap, { ...bitmap, data })).toBe(1);
        expect(countDifferent(bitmap, bitmap)).toBe(0);
      }),
    );
  });
});
