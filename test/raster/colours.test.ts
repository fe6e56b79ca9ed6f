import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { coarserColours } from '../../src/raster/colours.js';
import { seeded } from '../support/bitmaps.js';

describe('coarserColours', () => {
  it('gives each block its mean colour, also where a block reaches over the edge', () => {
    const size = fc.integer({ min: 1, max: 23 });
    fc.assert(
      fc.property(
        size,
        size,
        fc.integer({ min: 1, max: 6 }),
        fc.nat(),
        (width, height, factor, seed) => {
          const random = seeded(seed);
          const data = Uint8Array.from({ length: 3 * width * height }, () => 256 * random());
          const coarse = coarserColours({ width, height, data }, factor);
          expect([coarse.width, coarse.height]).toEqual([
            Math.ceil(width / factor),
            Math.ceil(height / factor),
          ]);
          for (let i = 0; i < coarse.data.length; i++) {
            const [pixel, channel] = [Math.floor(i / 3), i % 3];
            const [column, row] = [pixel % coarse.width, Math.floor(pixel / coarse.width)];
            const block: number[] = [];
            for (let y = row * factor; y < Math.min(height, (row + 1) * factor); y++) {
              for (let x = column * factor; x < Math.min(width, (column + 1) * factor); x++) {
                block.push(data[3 * (y * width + x) + channel]);
              }
            }
            const mean = block.reduce((sum, value) => sum + value, 0) / block.length;
            if (Math.abs(coarse.data[i] - mean) > 0.5)
              throw new Error(`${i}: ${coarse.data[i]}, ${mean}`);
          }
        },
      ),
      { numRuns: 60 },
    );
  });
});
