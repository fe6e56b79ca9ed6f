import { describe, expect, it } from 'vitest';
import { bilateral } from '../../src/raster/bilateral.js';
import type { Field } from '../../src/raster/field.js';
import { seeded } from '../support/bitmaps.js';

const WIDTH = 40;
const HEIGHT = 30;

const fieldOf = (rule: (x: number, y: number) => number): Field => ({
  width: WIDTH,
  height: HEIGHT,
  data: Float32Array.from({ length: WIDTH * HEIGHT }, (_, i) =>
    rule(i % WIDTH, Math.floor(i / WIDTH)),
  ),
});

describe('bilateral', () => {
  it('leaves an edge of many levels as it is, and an even picture', () => {
    for (const rule of [(x: number) => (x < 20 ? 10 : 240), () => 77]) {
      const field = fieldOf(rule);
      expect(bilateral(field, 2, 20).data).toEqual(field.data);
    }
  });

  it('calms grain on both sides of an edge, but not the edge', () => {
    const random = seeded(2);
    const field = fieldOf((x) => (x < 20 ? 60 : 180) + 16 * (random() - 0.5));
    const { data } = bilateral(field, 2, 25);
    const spread = (values: Float32Array, from: number, to: number): number => {
      const list = [...values].filter((_, i) => i % WIDTH >= from && i % WIDTH < to);
      const mean = list.reduce((sum, value) => sum + value, 0) / list.length;
      return Math.sqrt(list.reduce((sum, value) => sum + (value - mean) ** 2, 0) / list.length);
    };
    for (const [from, to] of [
      [0, 20],
      [20, 40],
    ]) {
      expect(spread(data, from, to)).toBeLessThan(0.45 * spread(field.data, from, to));
    }
    for (let y = 0; y < HEIGHT; y++) {
      expect(data[y * WIDTH + 20] - data[y * WIDTH + 19]).toBeGreaterThan(105);
    }
  });

  it('is the weighted mean of the paper along a row', () => {
    // One row, σ 1 (two pixels on either side), values alike within σ 50: worked out by hand from the formula.
    const row: Field = { width: 5, height: 1, data: Float32Array.of(100, 100, 150, 100, 100) };
    const near = [Math.exp(-0.5), Math.exp(-2)];
    const other = 2 * (near[0] + near[1]) * Math.exp(-0.5);
    expect(bilateral(row, 1, 50).data[2]).toBeCloseTo((150 + 100 * other) / (1 + other), 3);
  });
});
