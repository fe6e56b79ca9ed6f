import { describe, expect, it } from 'vitest';
import { rasterise } from '../../src/geometry/rasterise.js';
import { findTongues } from '../../src/raster/tongues.js';
import { polygonOutline, rectangle } from '../support/openings.js';

const PIXELS_PER_MM = 10;
const LONG_MM = 20;

/** Film that juts out from the left into an opening of 40 × 30 mm at (10, 10), at half its height. */
const jutting = (lengthMm: number, widthMm: number): number[] => {
  const [top, bottom] = [25 - widthMm / 2, 25 + widthMm / 2];
  const end = 10 + lengthMm;
  return [10, 10, 50, 10, 50, 40, 10, 40, 10, bottom, end, bottom, end, top, 10, top];
};
const tonguesOf = (points: readonly number[]) => {
  const shape = { outer: polygonOutline(points), holes: [] };
  return findTongues(rasterise([shape], 600, 500, PIXELS_PER_MM), PIXELS_PER_MM, LONG_MM);
};

describe('tongues', () => {
  it('are film that juts out as far as was said, narrower than a quarter of that', () => {
    const [tongue, ...others] = tonguesOf(jutting(30, 3));
    expect(others).toEqual([]);
    expect(tongue.lengthMm).toBeGreaterThan(28);
    expect(tongue.lengthMm).toBeLessThan(31);
    expect(tongue.tip[0]).toBeGreaterThan(39);
    expect(Math.abs(tongue.tip[1] - 25)).toBeLessThan(2);
    expect(tongue.root[0]).toBeLessThan(13);
    // Its outer half: 15 mm of 3 mm.
    const areaMm2 = (tongue.outer.length * tongue.stepPx ** 2) / PIXELS_PER_MM ** 2;
    expect(areaMm2).toBeGreaterThan(38);
    expect(areaMm2).toBeLessThan(50);
  });

  it.each([
    ['shorter', jutting(16, 3)],
    ['wider', jutting(30, 6)],
  ])('are not what is %s', (_, points) => {
    expect(tonguesOf(points)).toEqual([]);
  });

  it('are not held at both ends, nor an island', () => {
    const halves = [rectangle(10, 10, 40, 13.5), rectangle(10, 26.5, 40, 13.5)];
    const strip = halves.map((outer) => ({ outer, holes: [] }));
    const around = [{ outer: rectangle(5, 5, 50, 40), holes: [rectangle(15, 23, 30, 3)] }];
    for (const shapes of [strip, around]) {
      const bitmap = rasterise(shapes, 600, 500, PIXELS_PER_MM);
      expect(findTongues(bitmap, PIXELS_PER_MM, LONG_MM)).toEqual([]);
    }
  });
});
