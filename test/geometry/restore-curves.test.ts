import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { flatten } from '../../src/geometry/flatten.js';
import { flattenTracked, curveRestorer } from '../../src/geometry/restore-curves.js';
import { difference } from '../../src/geometry/boolean-operations.js';
import { signedArea } from '../../src/geometry/signed-area.js';
import type { Outline } from '../../src/geometry/shape.js';
import { circle, rectangle } from '../support/openings.js';
import { sharpestJoint, tightestWithin } from '../support/outlines.js';

const fine = (outline: Outline) => flattenTracked(outline, () => 0.01);
const area = (outline: Outline): number => Math.abs(signedArea(flatten(outline, 0.001)));

/** A strip across the sheet. */
function strip(x: number, y: number, angle: number, width: number): Float64Array {
  const [ux, uy] = [100 * Math.cos(angle), 100 * Math.sin(angle)];
  const [nx, ny] = [(-uy / 100) * (width / 2), (ux / 100) * (width / 2)];
  return Float64Array.of(
    x - ux + nx,
    y - uy + ny,
    x + ux + nx,
    y + uy + ny,
    x + ux - nx,
    y + uy - ny,
    x - ux - nx,
    y - uy - ny,
  );
}

/** Every point of an outline's curves is on a circle or on one of two lines, to within a tolerance. */
function farthestFrom(outline: Outline, distance: (x: number, y: number) => number): number {
  const points = flatten(outline, 0.001);
  let most = 0;
  for (let i = 0; i < points.length; i += 2) {
    most = Math.max(most, distance(points[i], points[i + 1]));
  }
  return most;
}

describe('recurver', () => {
  it('gives an outline that nothing was cut off back as it is', () => {
    const outlines = [circle(50, 50, 20), circle(50, 50, 8), rectangle(48, 48, 3, 3)];
    const sources = outlines.map(fine);
    const far = Float64Array.of(90, 90, 95, 90, 95, 95);
    const regions = difference(
      sources.map(({ points }) => points),
      [far],
    );
    const back = regions
      .flatMap(({ outer, holes }) => [outer, ...holes])
      .map(curveRestorer(sources));
    expect(back).toHaveLength(3);
    expect(new Set(back)).toEqual(new Set(outlines));
    for (const outline of back) expect(outlines).toContain(outline);
  });

  it('keeps the curves beside a cut and closes them with straight sides between corners', () => {
    const source = fine(circle(50, 50, 20));
    const regions = difference([source.points], [strip(50, 50, 0, 2)]);
    const halves = regions.map(({ outer }) => curveRestorer([source])(outer));
    expect(halves).toHaveLength(2);
    for (const half of halves) {
      expect(half?.straight.reduce((sum, one) => sum + one, 0)).toBe(1);
      expect(half?.corner.reduce((sum, one) => sum + one, 0)).toBe(2);
      expect(half?.straight).toHaveLength(3);
      // Half a disc of 20 mm less a strip of 1 mm: ∫ √(400 − y²) dy from 1 to 20, twice.
      const expected = 200 * Math.PI - (Math.sqrt(399) + 400 * Math.asin(1 / 20));
      expect(half && area(half)).toBeCloseTo(expected, 0);
    }
  });

  it('follows the curve or the cut everywhere, and the areas are those of the polygons', () => {
    fc.assert(
      fc.property(
        fc.double({ min: 40, max: 60, noNaN: true }),
        fc.double({ min: 40, max: 60, noNaN: true }),
        fc.double({ min: 0, max: Math.PI, noNaN: true }),
        fc.double({ min: 0.5, max: 6, noNaN: true }),
        (x, y, angle, width) => {
          const sources = [fine(circle(50, 50, 20)), fine(circle(52, 49, 9))];
          const regions = difference(
            sources.map(({ points }) => points),
            [strip(x, y, angle, width)],
          );
          const toOutline = curveRestorer(sources);
          const off = (px: number, py: number): number => {
            const across = Math.abs((px - x) * Math.sin(angle) - (py - y) * Math.cos(angle));
            return Math.min(
              Math.abs(Math.hypot(px - 50, py - 50) - 20),
              Math.abs(Math.hypot(px - 52, py - 49) - 9),
              Math.abs(across - width / 2),
            );
          };
          for (const { outer, holes } of regions) {
            for (const loop of [outer, ...holes]) {
              const outline = toOutline(loop);
              if (!outline) {
                expect(Math.abs(signedArea(loop))).toBeLessThan(0.01);
                continue;
              }
              expect(farthestFrom(outline, off)).toBeLessThan(0.015);
              const length = 2 * Math.PI * 29 + 200;
              expect(Math.abs(area(outline) - Math.abs(signedArea(loop)))).toBeLessThan(
                0.01 * length,
              );
            }
          }
        },
      ),
      { numRuns: 200 },
    );
  });

  it('turns neither corners nor curves when the source goes the other way round', () => {
    const forward = circle(50, 50, 20);
    const back: Outline = {
      coords: Float64Array.from({ length: 24 }, (_, i) => {
        const point = (24 - 2 * Math.floor(i / 2)) % 24;
        return forward.coords[point + (i % 2)];
      }),
      straight: forward.straight,
      corner: forward.corner,
    };
    const cutArea = [forward, back].map((outline) => {
      const source = fine(outline);
      const [one] = difference([source.points], [strip(50, 62, 0.2, 30)]);
      const made = curveRestorer([source])(one.outer);
      expect(made && signedArea(flatten(made, 0.001)) > 0).toBe(outline === forward);
      return made ? area(made) : 0;
    });
    expect(cutArea[0]).toBeGreaterThan(100);
    expect(cutArea[1]).toBeCloseTo(cutArea[0], 2);
  });

  it('bends no curve more than its source, however little two cuts leave of it between them', () => {
    // Round a disc of film, strips of film from above and from below whose right sides all but touch it.
    const sources = [fine(rectangle(20, 20, 60, 60)), fine(circle(50, 50, 20))];
    for (let k = 0; k < 20; k++) {
      const [gap, off] = [0.02 + 0.004 * k, 0.0005 * (1 + ((7 * k) % 15))];
      const upper = Float64Array.of(65, 30, 70 + off, 30, 70 + off, 50 - gap, 65, 50 - gap);
      const lower = Float64Array.of(65, 50 + gap, 70.002, 50 + gap, 70.002, 70, 65, 70);
      const regions = difference(
        sources.map(({ points }) => points),
        [upper, lower],
      );
      for (const made of regions.flatMap(({ holes }) => holes).map(curveRestorer(sources))) {
        expect(made && tightestWithin(made)).toBeLessThan(1.02 / 20);
        expect(made && sharpestJoint(made)).toBeLessThan(1);
      }
    }
  });
});
