import { describe, expect, it } from 'vitest';
import { contoursOf } from '../../src/raster/contours.js';
import type { Field } from '../../src/raster/field.js';
import { seeded } from '../support/bitmaps.js';

const SIDE = 120;
const PIXELS_PER_MM = 3;

function fieldOf(rule: (x: number, y: number) => number): Field {
  const data = Float32Array.from({ length: SIDE * SIDE }, (_, i) =>
    rule(i % SIDE, Math.floor(i / SIDE)),
  );
  return { width: SIDE, height: SIDE, data };
}

const places = (weight: Float32Array): [number, number][] =>
  [...weight].flatMap((value, i): [number, number][] =>
    value > 0 ? [[i % SIDE, Math.floor(i / SIDE)]] : [],
  );

describe('contoursOf', () => {
  it('finds a straight edge once in every row, where it is', () => {
    const found = places(
      contoursOf(
        fieldOf((x) => (x < 60 ? 40 : 200)),
        PIXELS_PER_MM,
      ).weight,
    );
    expect(found).toHaveLength(SIDE - 2);
    for (const [x] of found) expect(Math.abs(x - 59.5)).toBeLessThanOrEqual(0.5);
  });

  it('finds a circle in one piece, one pixel wide', () => {
    const disk = fieldOf((x, y) => (Math.hypot(x - 60, y - 60) < 35 ? 60 : 180));
    const found = places(contoursOf(disk, PIXELS_PER_MM).weight);
    for (const [x, y] of found) {
      expect(Math.abs(Math.hypot(x - 60, y - 60) - 35)).toBeLessThan(1.5);
    }
    // A circle of radius r has 4 √2 r pixels that hang together by their corners.
    expect(found.length / (4 * Math.SQRT2 * 35)).toBeGreaterThan(0.95);
    expect(found.length / (4 * Math.SQRT2 * 35)).toBeLessThan(1.06);
  });

  it('finds nothing in grain, in a slow slope, and in an even picture', () => {
    const random = seeded(5);
    const grain = fieldOf(() => 128 + 8 * (random() - 0.5));
    const slope = fieldOf((x, y) => 40 + 0.7 * x + 0.5 * y);
    for (const field of [grain, slope, fieldOf(() => 90)]) {
      expect(places(contoursOf(field, PIXELS_PER_MM).weight)).toEqual([]);
    }
  });

  it('weighs a contour by what is round it, not by its contrast alone', () => {
    // Left: a faint disk on plain ground. Right: the same disk among stripes that are as strong.
    const disk = (x: number, y: number, cx: number) => Math.hypot(x - cx, y - 60) < 12;
    const stripes = (x: number, y: number) => (x > 60 && (x + y) % 14 < 7 ? 40 : 0);
    const field = fieldOf((x, y) => 200 - (disk(x, y, 28) || disk(x, y, 92) ? 40 : stripes(x, y)));
    const { weight } = contoursOf(field, PIXELS_PER_MM);
    const mean = (cx: number) => {
      const near = places(weight).filter(
        ([x, y]) => Math.abs(Math.hypot(x - cx, y - 60) - 12) < 1.5,
      );
      return near.reduce((sum, [x, y]) => sum + weight[y * SIDE + x], 0) / Math.max(1, near.length);
    };
    expect(mean(28)).toBeGreaterThan(0.95);
    expect(mean(92)).toBeLessThan(0.75);
  });
});
