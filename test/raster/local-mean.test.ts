import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import type { Field } from '../../src/raster/field.js';
import { localMean, sauvolaLevels } from '../../src/raster/local-mean.js';

const fields = fc
  .tuple(fc.integer({ min: 1, max: 14 }), fc.integer({ min: 1, max: 14 }))
  .chain(([width, height]) =>
    fc
      .array(fc.integer({ min: 0, max: 255 }), {
        minLength: width * height,
        maxLength: width * height,
      })
      .map((values): Field => ({ width, height, data: Float32Array.from(values) })),
  );

/** Everything in the window round a pixel, collected one by one. */
function windowRound({ width, height, data }: Field, at: number, reach: number): number[] {
  const values: number[] = [];
  const [x, y] = [at % width, Math.floor(at / width)];
  for (let j = y - reach; j <= y + reach; j++) {
    for (let i = x - reach; i <= x + reach; i++) {
      if (i >= 0 && j >= 0 && i < width && j < height) values.push(data[j * width + i]);
    }
  }
  return values;
}

function plain(values: readonly number[]) {
  const mean = values.reduce((sum, value) => sum + value, 0) / values.length;
  const square = values.reduce((sum, value) => sum + (value - mean) ** 2, 0) / values.length;
  return { mean, deviation: Math.sqrt(square) };
}

describe('localMean', () => {
  it('is mean and deviation of the window, collected pixel by pixel', () => {
    fc.assert(
      fc.property(fields, fc.integer({ min: 0, max: 20 }), (field, reach) => {
        const { mean, deviation } = localMean(field, reach);
        field.data.forEach((_, i) => {
          const wanted = plain(windowRound(field, i, reach));
          expect(mean.data[i]).toBeCloseTo(wanted.mean, 3);
          expect(deviation.data[i]).toBeCloseTo(wanted.deviation, 3);
        });
      }),
      { seed: 1, numRuns: 60 },
    );
  });
});

describe('sauvolaLevels', () => {
  it('is equation 5 of Sauvola & Pietikäinen 2000, with their R of 128', () => {
    fc.assert(
      fc.property(
        fields,
        fc.integer({ min: 1, max: 8 }),
        fc.double({ min: 0, max: 1, noNaN: true }),
        (field, reach, k) => {
          const levels = sauvolaLevels(field, reach, k);
          field.data.forEach((_, i) => {
            const { mean, deviation } = plain(windowRound(field, i, reach));
            expect(levels.data[i]).toBeCloseTo(mean * (1 + k * (deviation / 128 - 1)), 2);
          });
        },
      ),
      { seed: 2, numRuns: 60 },
    );
  });
});
