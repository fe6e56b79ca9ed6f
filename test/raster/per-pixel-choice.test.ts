import { describe, expect, it } from 'vitest';
import type { Field } from '../../src/raster/field.js';
import type { Match } from '../../src/raster/likeness.js';
import { blended, argmax, worthOf } from '../../src/raster/per-pixel-choice.js';

// Counted by hand.

const WIDTH = 40;
const HEIGHT = 9;
const N = WIDTH * HEIGHT;

function field(rule: (x: number) => number): Field {
  const data = Float32Array.from({ length: N }, (_, i) => rule(i % WIDTH));
  return { width: WIDTH, height: HEIGHT, data };
}

describe('worthOf', () => {
  it('is what is found by weight, less what is invented', () => {
    const bytes = (rule: (x: number) => boolean) =>
      Uint8Array.from({ length: N }, (_, i) => (rule(i % WIDTH) ? 1 : 0));
    const match: Match = {
      likeness: { recall: 0, precision: 0, f: 0 },
      found: bytes((x) => x === 3 || x === 5),
      invented: bytes((x) => x === 7),
      wanted: 1,
      drawn: 1,
    };
    const contours = field((x) => (x === 3 ? 0.5 : x === 4 ? 0.75 : x === 5 ? 1 : 0));
    const weighed = { width: WIDTH, height: HEIGHT, weight: contours.data };
    const { width, height, data } = worthOf(match, weighed, 8, 3);
    expect([width, height]).toEqual([WIDTH, HEIGHT]);
    expect([...data.subarray(WIDTH + 2, WIDTH + 9)]).toEqual([0, 4, 0, 8, 0, -3, 0]);
  });
});

describe('argmax', () => {
  it('is the number of the largest field, the earlier one of equals', () => {
    const which = argmax([field((x) => 10 - x), field(() => 4), field((x) => x - 20)]);
    for (let x = 0; x < WIDTH; x++) {
      expect(which[2 * WIDTH + x], `${x}`).toBe(x <= 6 ? 0 : x <= 24 ? 1 : 2);
    }
  });

  it('takes fields that are under zero all over', () => {
    expect([...new Set(argmax([field(() => -5), field(() => -4)]))]).toEqual([1]);
  });
});

describe('joined', () => {
  const which = Uint8Array.from({ length: N }, (_, i) => (i % WIDTH < 20 ? 1 : 0));

  it('is each field where its number stands, half of each at the seam', () => {
    const { data } = blended([field(() => 100), field(() => -60)], which, 1.7);
    const row = data.subarray(4 * WIDTH, 5 * WIDTH);
    expect(row[5]).toBeCloseTo(-60, 0);
    expect(row[34]).toBeCloseTo(100, 0);
    expect((row[19] + row[20]) / 2).toBeCloseTo(20, 0);
    expect(row.every((value, x) => x === 0 || value >= row[x - 1] - 0.5)).toBe(true);
  });

  it('keeps a field that all of them share', () => {
    const same = field((x) => 3 * x);
    const { data } = blended([same, same], which, 1.7);
    for (let x = 0; x < WIDTH; x++) expect(data[x]).toBeCloseTo(3 * x, 0);
  });
});
