import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import * as kernels from '../../src/kernels/generated.js';
import { kernelArrays } from '../../src/kernels/memory.js';
import { labelRegions } from '../../src/raster/labels.js';
import { painted, seeded } from '../support/bitmaps.js';

/** Blobs of discs, clear of the rim. */
function blobs(seed: number): { mask: Uint8Array; width: number; height: number } {
  const random = seeded(seed);
  const discs = Array.from({ length: 12 }, () => [
    8 + 44 * random(),
    8 + 44 * random(),
    1 + 6 * random(),
  ]);
  const bitmap = painted(60, 60, (x, y) =>
    discs.some(([cx, cy, r]) => Math.hypot(x - cx, y - cy) < r),
  );
  return { mask: bitmap.data, width: 60, height: 60 };
}

const { EMPTY, BODY, ANCHOR } = kernels;

/** Peels what is BODY; the rim must be EMPTY. */
function thin(given: Uint8Array, width: number, stairs = 0): Uint8Array {
  const body = [...given.keys()].filter((i) => given[i] === BODY);
  const [mask, pixels, ...room] = kernelArrays(
    [Uint8Array, given.length],
    [Int32Array, body.length],
    [Int32Array, body.length],
    [Int32Array, body.length],
    [Int32Array, body.length],
  );
  mask.set(given);
  pixels.set(body);
  const [candidates, next, chosen] = room;
  kernels.thin(mask, width, pixels, body.length, candidates, next, chosen, stairs);
  return mask.slice();
}

describe('thin', () => {
  it('leaves a bar its centreline', () => {
    const bar = painted(40, 15, (x, y) => x > 5 && x < 35 && y > 4 && y < 11);
    const thinned = thin(bar.data, 40);
    for (let x = 10; x < 30; x++) {
      const column = Array.from({ length: 15 }, (_, y) => thinned[y * 40 + x]);
      expect(column.filter((value) => value === BODY)).toHaveLength(1);
      expect([7, 8]).toContain(column.indexOf(BODY));
    }
  });

  it.each([0.5, 0.6, 0.7, 0.8])(
    'leaves a line at half a right angle its length, %s mm wide',
    (mm) => {
      // As an even number of pixels wide it is peeled to a stair, which would be eaten from its ends.
      const along = (x: number, y: number): number => (x - y) / Math.SQRT2;
      const line = painted(60, 60, (x, y) => Math.abs(x + y - 60) < 5 * mm * Math.SQRT2 && Math.abs(along(x, y)) < 25); // prettier-ignore
      const thinned = thin(line.data, 60, 1);
      const left = [...thinned.keys()].filter((i) => thinned[i] === BODY);
      const places = left.map((i) => along(i % 60, Math.floor(i / 60)));
      expect(Math.max(...places) - Math.min(...places)).toBeGreaterThan(35);
    },
  );

  it('keeps regions and holes as they hang together, and every anchor', () => {
    fc.assert(
      fc.property(fc.integer({ min: 0, max: 1e6 }), (seed) => {
        const { mask, width, height } = blobs(seed);
        const random = seeded(seed + 1);
        const anchored = mask.map((value) => (value === BODY && random() < 0.02 ? ANCHOR : value));
        const thinned = thin(anchored, width);
        anchored.forEach((value, i) => {
          if (value === ANCHOR) expect(thinned[i]).toBe(ANCHOR);
          if (value === EMPTY) expect(thinned[i]).toBe(EMPTY);
        });
        const bits = (data: Uint8Array): Uint8Array =>
          data.map((value) => (value === EMPTY ? 0 : 1));
        const count = (data: Uint8Array, value: 0 | 1): number =>
          labelRegions({ width, height, data: bits(data) }, value, value === 1 ? 8 : 4).count;
        expect(count(thinned, 1)).toBe(count(anchored, 1));
        expect(count(thinned, 0)).toBe(count(anchored, 0));
      }),
      { seed: 3, numRuns: 40 },
    );
  });
});
