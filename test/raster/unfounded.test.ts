import { describe, expect, it } from 'vitest';
import type { Bitmap } from '../../src/raster/raster.js';
import { unfounded } from '../../src/raster/unfounded.js';

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
/** A frame of contour round the left square alone. */
const contour = bitmapOf((x, y) => x >= 4 && x < 16 && y >= 14 && y < 26 && !square(x, y, 5));

describe('unfounded', () => {
  it('marks the region that has no contour, and no other', () => {
    const right = bitmapOf((x, y) => square(x, y, 25));
    expect(unfounded(two, 1, contour, 3, 0.5)).toEqual(right.data);
    expect(unfounded(left, 1, contour, 3, 0.5)).toEqual(new Uint8Array(SIDE * SIDE));
  });

  it('looks at film as well, and at small regions only when asked', () => {
    const holes = { ...two, data: two.data.map((value) => 1 - value) };
    const right = bitmapOf((x, y) => square(x, y, 25));
    expect(unfounded(holes, 0, contour, 3, 0.5)).toEqual(right.data);
    expect(unfounded(two, 1, contour, 3, 0.5, 100).some((value) => value === 1)).toBe(false);
    expect(unfounded(two, 1, contour, 3, 0.5, 101)).toEqual(right.data);
  });
});
