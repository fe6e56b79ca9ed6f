import { describe, expect, it } from 'vitest';
import { downsampled, fieldOf, upsampled } from '../../src/raster/field.js';
import { seeded } from '../support/bitmaps.js';

const random = seeded(4);
const gray = {
  width: 17,
  height: 13,
  data: Uint8Array.from({ length: 17 * 13 }, () => Math.floor(256 * random())),
};

describe('fieldOf', () => {
  it('is the box, pixel for pixel', () => {
    const field = fieldOf(gray, { x: 3, y: 2, width: 5, height: 4 });
    expect([field.width, field.height]).toEqual([5, 4]);
    field.data.forEach((value, i) => {
      expect(value).toBe(gray.data[(2 + Math.floor(i / 5)) * 17 + 3 + (i % 5)]);
    });
  });

  it.each([2, 3, 4])('has the means of blocks of %i, whole or cut off by the box', (factor) => {
    const box = { x: 1, y: 2, width: 11, height: 10 };
    const field = fieldOf(gray, box, factor);
    expect([field.width, field.height]).toEqual([Math.ceil(11 / factor), Math.ceil(10 / factor)]);
    const sums = new Float64Array(field.data.length);
    const sizes = new Float64Array(field.data.length);
    for (let y = 0; y < box.height; y++) {
      for (let x = 0; x < box.width; x++) {
        const at = Math.floor(y / factor) * field.width + Math.floor(x / factor);
        sums[at] += gray.data[(box.y + y) * 17 + box.x + x];
        sizes[at]++;
      }
    }
    field.data.forEach((value, i) => expect(value).toBeCloseTo(sums[i] / sizes[i], 3));
  });
});

describe('finer', () => {
  it('gives a slope back as it was, but for half a block at the border', () => {
    const slope = {
      width: 24,
      height: 18,
      data: Float32Array.from({ length: 24 * 18 }, (_, i) => 3 * (i % 24) + 5 * Math.floor(i / 24)),
    };
    const back = upsampled(downsampled(slope, 3), 3, 24, 18);
    for (let y = 1; y < 17; y++) {
      for (let x = 1; x < 23; x++) {
        expect(back.data[y * 24 + x]).toBeCloseTo(slope.data[y * 24 + x], 3);
      }
    }
  });

  it('stays within the coarse values', () => {
    const coarse = fieldOf(gray, { x: 0, y: 0, width: 17, height: 13 }, 4);
    const back = upsampled(coarse, 4, 17, 13);
    expect(back.data.length).toBe(17 * 13);
    expect(Math.min(...back.data)).toBeGreaterThanOrEqual(Math.min(...coarse.data) - 1e-3);
    expect(Math.max(...back.data)).toBeLessThanOrEqual(Math.max(...coarse.data) + 1e-3);
  });
});
