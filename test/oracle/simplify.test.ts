import { describe, expect, it } from 'vitest';
import sharp from 'sharp';
import { bilateral } from '../../src/raster/bilateral.js';
import { gaussianBlur } from '../../src/raster/blur.js';
import type { Field } from '../../src/raster/field.js';
import { bilateralOf } from '../support/opencv.js';
import { photographFile, photographs } from '../support/photographs.js';

// The simplification goes along rows, then along columns (Pham & van Vliet 2005); the whole filter of Tomasi & Manduchi
// (1998) is OpenCV's, a computer-vision library. On the open photographs the two must nearly agree.

const SIGMA = 2;
const ALIKE = 25;
const WIDTH = 240;

const meanDifference = (a: ArrayLike<number>, b: ArrayLike<number>): number => {
  let sum = 0;
  for (let i = 0; i < a.length; i++) sum += Math.abs(a[i] - b[i]);
  return sum / a.length;
};

describe('the bilateral filter is near a reference library’s', () => {
  it.each(photographs)('on %s', async (name) => {
    const { data, info } = await sharp(photographFile(name))
      .resize(WIDTH)
      .greyscale()
      .raw()
      .toBuffer({ resolveWithObject: true });
    const { width, height } = info;
    const grey = { width, height, data: Uint8Array.from(data) };
    const field: Field = { width, height, data: Float32Array.from(data) };
    const whole = bilateralOf(grey, SIGMA, ALIKE);
    const ours = bilateral(field, SIGMA, ALIKE).data;
    const off = meanDifference(ours, whole);
    expect(off).toBeLessThan(1.5);
    expect(off).toBeLessThan(0.5 * meanDifference(data, whole));
    // A plain blur is no stand-in: it is farther off.
    expect(meanDifference(gaussianBlur(field, SIGMA).data, whole)).toBeGreaterThan(1.5 * off);
  });
});
