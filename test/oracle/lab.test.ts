import sharp from 'sharp';
import { describe, expect, it } from 'vitest';
import { labOf } from '../../src/raster/lab.js';
import { draw } from '../support/pictures.js';

/** Steps of each channel, both ends among them. */
const STEPS = 16;

describe('labOf', () => {
  it('is CIE L*a*b* as libvips (npm: sharp) has it', async () => {
    const colours = draw(STEPS * STEPS, STEPS, (x, y) => [
      17 * (x % STEPS),
      17 * Math.floor(x / STEPS),
      17 * y,
    ]);
    const raw = { width: colours.width, height: colours.height, channels: 3 } as const;
    const bytes = await sharp(colours.data, { raw })
      .toColourspace('lab')
      .raw({ depth: 'float' })
      .toBuffer();
    const expected = new Float32Array(new Uint8Array(bytes).buffer);
    const lab = labOf(colours);
    expect(expected).toHaveLength(lab.length);
    const off = lab.map((value, i) => Math.abs(value - expected[i]));
    expect(off.reduce((most, value) => Math.max(most, value))).toBeLessThan(0.5);
  });

  it('has black at 0, white at 100, and no colour in greys', () => {
    const lab = labOf(draw(256, 1, (x) => [x, x, x]));
    expect(lab[0]).toBeCloseTo(0, 4);
    expect(lab[3 * 255]).toBeCloseTo(100, 4);
    for (let i = 0; i < 256; i++) {
      expect(Math.hypot(lab[3 * i + 1], lab[3 * i + 2]), `grey ${i}`).toBeLessThan(1e-4);
    }
  });
});
