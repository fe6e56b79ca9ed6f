import fc from 'fast-check';
import sharp from 'sharp';
import { describe, expect, it } from 'vitest';
import { bitmapPng } from '../../src/output/images/png.js';
import { bitmaps } from '../support/bitmaps.js';

describe('a bitmap as a PNG', () => {
  it('has every pixel in its place, by another reader', async () => {
    await fc.assert(
      fc.asyncProperty(bitmaps(1, 40), async (bitmap) => {
        const { data, info } = await sharp(await bitmapPng(bitmap, 10))
          .ensureAlpha()
          .raw()
          .toBuffer({ resolveWithObject: true });
        expect([info.width, info.height]).toEqual([bitmap.width, bitmap.height]);
        // Film is clear, openings are not.
        const shown = bitmap.data.map((_, i) => (data[4 * i + 3] > 0 ? 1 : 0));
        expect(shown).toEqual(bitmap.data);
      }),
    );
  });

  it('knows its true size', async () => {
    const png = await bitmapPng({ width: 3, height: 2, data: new Uint8Array(6) }, 10);
    expect((await sharp(png).metadata()).density).toBeCloseTo(254, 0);
  });
});
