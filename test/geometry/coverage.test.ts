import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { coverage } from '../../src/geometry/coverage.js';
import { rasterise } from '../../src/geometry/rasterise.js';
import type { Outline, Shape } from '../../src/geometry/shape.js';
import { circle, polygon, polygonArea, rectangle, solid, sprig } from '../output/outlines.js';

const total = (data: Uint8Array): number => data.reduce((sum, value) => sum + value, 0) / 255;

function reversed(outline: Outline): Outline {
  const points: [number, number][] = [];
  for (let i = 0; i < outline.coords.length; i += 6) {
    points.unshift([outline.coords[i], outline.coords[i + 1]]);
  }
  return polygon(points);
}

describe('coverage', () => {
  it('gives whole, half and quarter pixels of a rectangle their share', () => {
    const { data } = coverage([solid(rectangle(1, 1, 1.5, 1.5))], 4, 4, 1);
    expect([...data]).toEqual([0, 0, 0, 0, 0, 255, 128, 0, 0, 128, 64, 0, 0, 0, 0, 0]);
  });

  it('gives a pixel cut by a slanted edge the share below it', () => {
    const triangle = polygon([
      [0, 0],
      [4, 0],
      [0, 1],
    ]);
    // The trapezoids under y = 1 - x / 4 are 7/8, 5/8, 3/8 and 1/8 of a pixel.
    expect([...coverage([solid(triangle)], 4, 1, 1).data]).toEqual([223, 159, 96, 32]);
  });

  it('takes holes out, whichever way round the outlines run', () => {
    const outer = rectangle(2, 2, 30, 20);
    const hole = rectangle(6.2, 5.5, 10.1, 8);
    const shapes: readonly Shape[] = [
      solid(outer, hole),
      solid(outer, reversed(hole)),
      solid(reversed(outer), hole),
      solid(reversed(outer), reversed(hole)),
    ];
    for (const shape of shapes) {
      const { data } = coverage([shape], 34, 24, 1);
      expect(total(data)).toBeCloseTo(600 - 80.8, 0);
      expect(data[8 * 34 + 10]).toBe(0);
    }
  });

  it('covers π r² of a circle', () => {
    const { data } = coverage([solid(circle(50, 50, 40))], 1000, 1000, 10);
    expect(total(data) / 100 / (Math.PI * 40 ** 2)).toBeCloseTo(1, 3);
  });

  it('keeps within the picture what reaches its edges', () => {
    const { data } = coverage([solid(rectangle(0, 0, 10, 10))], 100, 100, 10);
    expect(data.every((value) => value === 255)).toBe(true);
    const beyond = coverage([solid(rectangle(-5, -5, 30, 30))], 100, 100, 10);
    expect(beyond.data.every((value) => value === 255)).toBe(true);
  });

  it('covers the area of any triangle', () => {
    const place = fc.tuple(
      fc.double({ min: 1, max: 29, noNaN: true }),
      fc.double({ min: 1, max: 29, noNaN: true }),
    );
    fc.assert(
      fc.property(fc.tuple(place, place, place), (corners) => {
        const { data } = coverage([solid(polygon(corners))], 30, 30, 1);
        // Each pixel that an edge crosses is rounded by up to half a step of 1/255.
        const slack = (data.filter((value) => value > 0 && value < 255).length + 60) / 510;
        expect(Math.abs(total(data) - polygonArea(corners.flat()))).toBeLessThan(slack);
      }),
      { numRuns: 300 },
    );
  });

  it('agrees with the bitmap of pixel centres on what is wholly in or out', () => {
    const covered = coverage(sprig, 1016, 1016, 10).data;
    const inside = rasterise(sprig, 1016, 1016, 10).data;
    covered.forEach((value, i) => {
      if (value === 255 && inside[i] !== 1)
        throw new Error(`pixel ${i} is full but its centre is out`);
      if (value === 0 && inside[i] !== 0)
        throw new Error(`pixel ${i} is empty but its centre is in`);
    });
    expect(total(covered) / total(inside.map((value) => value * 255))).toBeCloseTo(1, 2);
  });
});
