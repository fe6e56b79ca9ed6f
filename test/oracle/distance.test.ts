import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { squaredDistance } from '../../src/raster/distance.js';
import type { Bitmap } from '../../src/raster/raster.js';
import { bitmaps } from '../support/bitmaps.js';
import { distancesToZero, inverse } from '../support/opencv.js';
import { photographs, thresholded } from '../support/photographs.js';
import { randomKinds, randomPicture } from '../support/random-pictures.js';

/*
 * The distance transform (Felzenszwalb & Huttenlocher 2012) against OpenCV's `distanceTransform` with DIST_L2 and
 * DIST_MASK_PRECISE. Ours are whole numbers of px², exact in 32 bits here; OpenCV takes the root in 32 bits, so a
 * distance may be off by half a unit in its last place, 2⁻²⁴ of it; twice that is allowed.
 */
const RELATIVE_TOLERANCE = 2 ** -23;

function expectEqual(bitmap: Bitmap, to: 0 | 1): void {
  const ours = squaredDistance(bitmap, to);
  const theirs = distancesToZero(to === 0 ? bitmap : inverse(bitmap));
  expect(theirs).toHaveLength(ours.length);
  let compared = 0;
  for (let i = 0; i < ours.length; i++) {
    const distance = Math.sqrt(ours[i]);
    if (Math.abs(distance - theirs[i]) > RELATIVE_TOLERANCE * distance) {
      const place = `${i % bitmap.width}, ${Math.floor(i / bitmap.width)}`;
      throw new Error(`At ${place} the distance to ${to} is ${distance}; OpenCV: ${theirs[i]}`);
    }
    if (distance > 0) compared++;
  }
  expect(compared).toBe(bitmap.data.filter((value) => value !== to).length);
}

describe("the distance transform equals a reference library's", () => {
  it.each(photographs)('on the photograph %s', async (name) => {
    for (const level of [90, 128]) {
      const bitmap = await thresholded(name, 400, level);
      expectEqual(bitmap, 0);
      expectEqual(bitmap, 1);
    }
  });

  it.each(randomKinds)('on random pictures of %s', (kind) => {
    for (let seed = 1; seed <= 5; seed++) {
      const bitmap = randomPicture(kind, seed, 300, 10);
      expectEqual(bitmap, 0);
      expectEqual(bitmap, 1);
    }
  });

  it('on small bitmaps of any content', () => {
    // Where there is nothing to measure to, OpenCV gives a large number and we give Infinity.
    const both = bitmaps(1, 40).filter(({ data }) => data.includes(0) && data.includes(1));
    fc.assert(
      fc.property(both, fc.constantFrom<0 | 1>(0, 1), (bitmap, to) => expectEqual(bitmap, to)),
      { seed: 7, numRuns: 100 },
    );
  });

  it('of single far points, where rounding would show first', () => {
    const data = new Uint8Array(1500 * 900);
    for (const i of [0, 777 * 1500 + 1499, 450 * 1500 + 3]) data[i] = 1;
    expectEqual({ width: 1500, height: 900, data }, 1);
  });
});
