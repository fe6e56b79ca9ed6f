import sharp from 'sharp';
import { describe, expect, it } from 'vitest';
import { stencilPng } from '../../src/sheets/stencil-png.js';
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

  it('of a very large sheet is coarser, and says so', async () => {
    const large = { widthMm: 1000, heightMm: 1000 };
    const { width, density } = await sharp(await stencilPng([], large, 1200)).metadata();
    expect(width).toBe(7746);
    expect(density).toBeCloseTo(7746 / (1000 / 25.4), 0);
  });
});
