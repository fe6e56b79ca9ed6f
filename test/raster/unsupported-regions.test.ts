import { describe, expect, it } from 'vitest';
import type { Bitmap } from '../../src/raster/raster.js';
import { unsupportedRegions } from '../../src/raster/unsupported-regions.js';

const SIDE = 40;
const bitmapOf = (rule: (x: number, y: number) => boolean): Bitmap => ({
  width: SIDE,
  height: SIDE,
  data: Uint8Array.from({ length: SIDE * SIDE }, (_, i) =>
    rule(i % SIDE, Math.floor(i / SIDE)) ? 1 : 0,
  ),
});
const square = (x: number, y: number, left: number) =>
  x >= left && x < left + 10 && y >= 15 && y < 25;
const two = bitmapOf((x, y) => square(x, y, 5) || square(x, y, 25));
const left = bitmapOf((x, y) => square(x, y, 5));
/** Round about the left square. */
const near = bitmapOf((x, y) => x >= 3 && x < 17 && y >= 13 && y < 27).data;

describe('unfounded', () => {
  it('marks the region that has no contour, and no other', () => {
    const right = bitmapOf((x, y) => square(x, y, 25));
    expect(unsupportedRegions(two, 1, near, 0.5)).toEqual(right.data);
    expect(unsupportedRegions(left, 1, near, 0.5)).toEqual(new Uint8Array(SIDE * SIDE));
  });

  it('looks at film as well, and at small regions only when asked', () => {
    const holes = { ...two, data: two.data.map((value) => 1 - value) };
    const right = bitmapOf((x, y) => square(x, y, 25));
    expect(unsupportedRegions(holes, 0, near, 0.5)).toEqual(right.data);
    expect(unsupportedRegions(two, 1, near, 0.5, 100).some((value) => value === 1)).toBe(false);
    expect(unsupportedRegions(two, 1, near, 0.5, 101)).toEqual(right.data);
  });
});
