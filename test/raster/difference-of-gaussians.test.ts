import { describe, expect, it } from 'vitest';
import { gaussianBlur } from '../../src/raster/blur.js';
import {
  HAIRLINE_WIDTH,
  sharpened,
  softThreshold,
} from '../../src/raster/difference-of-gaussians.js';
import type { Field } from '../../src/raster/field.js';
import { seeded } from '../support/bitmaps.js';

const SIZE = 121;

const field = (value: (x: number, y: number) => number): Field => ({
  width: SIZE,
  height: SIZE,
  data: Float32Array.from({ length: SIZE * SIZE }, (_, i) => value(i % SIZE, Math.floor(i / SIZE))),
});

describe('sharpened', () => {
  it('leaves an even picture even', () => {
    for (const value of sharpened(
      field(() => 90),
      4,
      9,
      1,
    ).data)
      expect(value).toBeCloseTo(90, 2);
  });

  it('is the blur plus the difference of two blurs, σ and 1.6 σ, times the strength', () => {
    const random = seeded(3);
    const picture = field(() => 255 * random());
    const near = gaussianBlur(picture, 3).data;
    const wide = gaussianBlur(picture, 1.6 * 3).data;
    sharpened(picture, 3, 7, 0).data.forEach((value, i) => {
      expect(value).toBeCloseTo(near[i] + 7 * (near[i] - wide[i]), 2);
    });
  });

  it('does not raise differences that are no larger than the grain', () => {
    const random = seeded(5);
    const picture = field(() => 120 + 4 * random());
    const near = gaussianBlur(picture, 3).data;
    sharpened(picture, 3, 50, 2).data.forEach((value, i) => expect(value).toBe(near[i]));
  });

  it.each([4, 6, 9])('draws a hairline as wide as it says, σ %i', (sigma) => {
    const middle = (SIZE - 1) / 2;
    const hairline = field((x) => (x === middle ? 0 : 255));
    const line = sharpened(hairline, sigma, 1000, 0).data.subarray(0, SIZE);
    const dark = Array.from(line).filter((value) => value < 250).length;
    expect(Math.abs(dark - HAIRLINE_WIDTH * sigma)).toBeLessThanOrEqual(1.5);
  });
});

describe('softThreshold', () => {
  it('is 0 at the level, half way at its softness, and never turns back', () => {
    const ramp = { width: 256, height: 1, data: Float32Array.from({ length: 256 }, (_, i) => i) };
    const levels = { ...ramp, data: new Float32Array(256).fill(100) };
    const { data } = softThreshold(ramp, levels, 30);
    expect([data[100], data[70], data[130]]).toEqual([0, -0.5, 0.5]);
    for (let i = 1; i < 256; i++) expect(data[i]).toBeGreaterThan(data[i - 1]);
  });
});
