import sharp from 'sharp';
import { describe, expect, it } from 'vitest';
import { stencilPng } from '../../src/output/images/stencil-png.js';
import { rectangle, solid } from './outlines.js';

const sheet = { widthMm: 50.8, heightMm: 25.4 };

describe('stencil.png', () => {
  it('has the resolution that it states, by another reader', async () => {
    const { width, height, density } = await sharp(await stencilPng([], sheet, 300)).metadata();
    expect([width, height]).toEqual([600, 300]);
    expect(Math.round(density ?? 0)).toBe(300);
  });

  it('is black where film is cut away, and white elsewhere', async () => {
    const png = await stencilPng([solid(rectangle(12.7, 6.35, 12.7, 6.35))], sheet, 100);
    const { data, info } = await sharp(png)
      .toColourspace('b-w')
      .raw()
      .toBuffer({ resolveWithObject: true });
    expect([info.width, info.height]).toEqual([200, 100]);
    const dark = data.filter((value, i) => i % info.channels === 0 && value < 128).length;
    expect(dark).toBe(50 * 25);
    expect(data[(30 * 200 + 60) * info.channels]).toBe(0);
    expect(data[0]).toBe(255);
  });

  it('is grey by what is cut of a pixel where an edge goes through it, and nowhere else', async () => {
    // At 10 px a mm: from a quarter into pixel 20 to a half into pixel 30, and whole rows.
    const png = await stencilPng([solid(rectangle(2.025, 1, 1.025, 1))], sheet, 254);
    const { data, info } = await sharp(png)
      .toColourspace('b-w')
      .raw()
      .toBuffer({ resolveWithObject: true });
    const row = [...data.subarray(15 * info.width * info.channels)]
      .filter((_, i) => i % info.channels === 0)
      .slice(0, info.width);
    expect(row[20]).toBeCloseTo(255 * 0.25, -0.5);
    expect(row[30]).toBeCloseTo(255 * 0.5, -0.5);
    expect(new Set(row.slice(21, 30))).toEqual(new Set([0]));
    expect(new Set([...row.slice(0, 20), ...row.slice(31)])).toEqual(new Set([255]));
  });

  it('of a very large sheet is coarser, and says so', async () => {
    const large = { widthMm: 1000, heightMm: 1000 };
    const { width, density } = await sharp(await stencilPng([], large, 1200)).metadata();
    expect(width).toBe(7746);
    expect(density).toBeCloseTo(7746 / (1000 / 25.4), 0);
  });
});
