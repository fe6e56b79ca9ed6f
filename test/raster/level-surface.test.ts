import { describe, expect, it } from 'vitest';
import type { Contours } from '../../src/raster/contours.js';
import type { Field } from '../../src/raster/field.js';
import { levelSurfaces } from '../../src/raster/level-surface.js';

const SIDE = 80;
const fieldOf = (rule: (x: number, y: number) => number): Field => ({
  width: SIDE,
  height: SIDE,
  data: Float32Array.from({ length: SIDE * SIDE }, (_, i) => rule(i % SIDE, Math.floor(i / SIDE))),
});
const contoursAt = (columns: readonly number[]): Contours => {
  const { data, ...size } = fieldOf((x) => (columns.includes(x) ? 1 : 0));
  return { ...size, weight: data };
};

describe('levelSurfaces', () => {
  it('is the given level where there is no contour', () => {
    const [surface] = levelSurfaces(
      fieldOf((x) => x),
      contoursAt([]),
      [[10, 4]],
      91,
    );
    expect(new Set(surface.data)).toEqual(new Set([91]));
  });

  it('is the value of the one contour everywhere', () => {
    const [surface] = levelSurfaces(
      fieldOf((x) => 2 * x),
      contoursAt([40]),
      [[20, 5]],
      0,
    );
    for (const value of surface.data) expect(value).toBeCloseTo(80, 3);
  });

  it('comes near each contour to its own value, and lies between them in between', () => {
    const [surface] = levelSurfaces(
      fieldOf((x) => (x < 40 ? 60 : 160)),
      contoursAt([20, 60]),
      [[20, 5]],
      0,
    );
    const along = (x: number) => surface.data[40 * SIDE + x];
    expect(Math.abs(along(20) - 60)).toBeLessThan(8);
    expect(Math.abs(along(60) - 160)).toBeLessThan(8);
    expect(Math.abs(along(40) - 110)).toBeLessThan(5);
    for (let x = 20; x < 60; x++) expect(along(x + 1)).toBeGreaterThanOrEqual(along(x) - 1e-3);
  });
});
