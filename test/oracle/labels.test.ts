import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { labelRegions } from '../../src/raster/labels.js';
import type { Bitmap } from '../../src/raster/raster.js';
import { bitmaps } from '../support/bitmaps.js';
import { components, inverse } from '../support/opencv.js';
import { photographs, thresholded } from '../support/photographs.js';
import { randomKinds, randomPicture } from '../support/random-pictures.js';

/* Region numbering against OpenCV's `connectedComponentsWithStats`: the same regions, whatever their numbers. */

function expectSameRegions(bitmap: Bitmap): number {
  let regions = 0;
  for (const value of [0, 1] as const) {
    for (const connectivity of [4, 8] as const) {
      const ours = labelRegions(bitmap, value, connectivity);
      const theirs = components(value === 1 ? bitmap : inverse(bitmap), connectivity);
      expect(ours.count).toBe(theirs.count);
      const theirsOf = numbering(ours.labels, theirs.labels);
      const oursOf = numbering(theirs.labels, ours.labels);
      expect(theirsOf.get(0) ?? 0).toBe(0);
      for (let label = 1; label <= ours.count; label++) {
        const other = theirsOf.get(label) ?? NaN;
        expect(oursOf.get(other)).toBe(label);
        expect(ours.areas[label]).toBe(theirs.areas[other]);
      }
      regions += ours.count;
    }
  }
  return regions;
}

/** What each label of the one numbering is called in the other; throws where it is called two things. */
function numbering(from: Int32Array, to: Int32Array): Map<number, number> {
  const names = new Map<number, number>();
  for (let i = 0; i < from.length; i++) {
    const name = names.get(from[i]) ?? to[i];
    if (name !== to[i]) throw new Error(`Region ${from[i]} is both ${name} and ${to[i]}`);
    names.set(from[i], name);
  }
  return names;
}

describe("the regions equal a reference library's", () => {
  it.each(photographs)('on the photograph %s', async (name) => {
    expect(expectSameRegions(await thresholded(name, 400, 110))).toBeGreaterThan(100);
  });

  it.each(randomKinds)('on random pictures of %s', (kind) => {
    for (let seed = 1; seed <= 5; seed++) {
      expect(expectSameRegions(randomPicture(kind, seed, 300, 10))).toBeGreaterThan(4);
    }
  });

  it('on small bitmaps of any content', () => {
    fc.assert(
      fc.property(bitmaps(1, 30), (bitmap) => {
        expect(expectSameRegions(bitmap)).toBeGreaterThan(0);
      }),
      { seed: 11, numRuns: 150 },
    );
  });
});
