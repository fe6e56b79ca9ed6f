import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { flatten } from '../../src/geometry/flatten.js';
import { rasterise } from '../../src/geometry/rasterise.js';
import type { Outline } from '../../src/geometry/shape.js';
import { completeJob, type Job } from '../../src/settings/job.js';
import { squaredDistance } from '../../src/raster/distance.js';
import { labelRegions } from '../../src/raster/labels.js';
import type { Bitmap } from '../../src/raster/raster.js';
import { ease, type Eased } from '../../src/stages/ease/ease.js';
import { trace, type Traced } from '../../src/stages/trace/trace.js';
import { widen } from '../../src/stages/widen/widen.js';
import { above, drawn, painted } from '../support/bitmaps.js';
import {
  crossings,
  furthest,
  outlinesOf,
  sharpestJoint,
  sharpTurns,
  signedArea,
  tightestWithin,
} from '../support/outlines.js';
import { randomKinds, randomPicture } from '../support/random-pictures.js';

const PIXELS_PER_MM = 10;
const hotTip = completeJob({});
const craftKnife = completeJob({ tool: 'craft-knife' });

function eased(
  bitmap: Bitmap,
  job: Job = hotTip,
): { readonly traced: Traced; readonly result: Eased } {
  const traced = trace(bitmap, PIXELS_PER_MM);
  return { traced, result: ease(traced, PIXELS_PER_MM, job) };
}

/** An opening inside a polygon given by its corners in mm, on a sheet of `size` px. */
function polygon(size: number, corners: readonly (readonly [number, number])[]): Bitmap {
  return painted(size, size, (x, y) => {
    let inside = false;
    corners.forEach(([ax, ay], i) => {
      const [bx, by] = corners[(i + 1) % corners.length];
      const [px, py] = [x / PIXELS_PER_MM, y / PIXELS_PER_MM];
      if (ay > py !== by > py && px < ax + ((py - ay) * (bx - ax)) / (by - ay)) inside = !inside;
    });
    return inside;
  });
}

const round = (count: number, radii: readonly number[], turn: number): [number, number][] =>
  Array.from({ length: count }, (_, i) => {
    const angle = turn + (2 * Math.PI * i) / count;
    const r = radii[i % radii.length];
    return [12 + r * Math.cos(angle), 12 + r * Math.sin(angle)];
  });

describe('ease', () => {
  it('has no shape for a sheet of film', () => {
    const { result } = eased(drawn('....', '....'));
    expect(result).toEqual({ shapes: [], curves: 0, corners: 0, deviationMm: 0 });
  });

  it.each([
    ['a square', round(4, [7], 0.3)],
    ['a triangle', round(3, [8], 0.1)],
    ['a star', round(10, [9, 4], 0.2)],
    ['a small star, turned', round(10, [7, 3.2], 0.5)],
    ['a pentagon', round(5, [7], 0.04)],
    ['a hexagon', round(6, [6], 0.1)],
    ['an octagon', round(8, [8], 0.15)],
  ])('keeps %s: straight edges between its own corners', (_, corners) => {
    const { result } = eased(polygon(240, corners));
    const [{ outer }] = result.shapes;
    expect([...outer.straight]).toEqual(corners.map(() => 1));
    expect([...outer.corner]).toEqual(corners.map(() => 1));
    for (const [x, y] of corners) {
      const off = corners.map((__, i) =>
        Math.hypot(outer.coords[6 * i] - x, outer.coords[6 * i + 1] - y),
      );
      expect(Math.min(...off)).toBeLessThan(0.12);
    }
  });

  it('keeps a square of whole pixels to the last digit', () => {
    const { result } = eased(painted(100, 100, (x, y) => x > 20 && x < 60 && y > 30 && y < 70));
    const [{ outer }] = result.shapes;
    const places = [0, 1, 2, 3].map((i) =>
      [outer.coords[6 * i], outer.coords[6 * i + 1]].map((v) => v.toFixed(9)),
    );
    expect(places.map(String).sort()).toEqual(
      [
        [2, 3],
        [2, 7],
        [6, 3],
        [6, 7],
      ].map((place) => String(place.map((v) => v.toFixed(9)))),
    );
  });

  it.each([1.3, 2, 3, 5, 9])(
    'draws a circle of radius %f mm with few curves and no corner',
    (r) => {
      const circle = painted(240, 240, (x, y) => Math.hypot(x - 120.3, y - 119.8) < 10 * r);
      const { result } = eased(circle);
      expect(result.corners).toBe(0);
      expect(result.curves).toBeGreaterThanOrEqual(4);
      expect(result.curves).toBeLessThanOrEqual(8);
      expect(signedArea(result.shapes[0].outer) / (Math.PI * r * r)).toBeCloseTo(1, 0.7);
    },
  );

  it.each([0, 20, 45, 70, 85])(
    'ends a line narrower than the turn in one corner at each tip, at %d degrees',
    (degrees) => {
      const [c, s] = [Math.cos((degrees * Math.PI) / 180), Math.sin((degrees * Math.PI) / 180)];
      const line = painted(300, 300, (x, y) => {
        const along = (x - 150) * c + (y - 150) * s;
        const across = (y - 150) * c - (x - 150) * s;
        const marks =
          Math.abs(Math.abs(x - 150) - 135) < 9 && Math.abs(Math.abs(y - 150) - 135) < 9;
        return marks || Math.hypot(along - Math.min(Math.max(along, -90), 90), across) < 9.5;
      });
      const { shapes } = eased(line).result;
      const [outer] = outlinesOf(shapes).filter((outline) => signedArea(outline) > 10);
      const tips = [...outer.corner.keys()].filter((i) => outer.corner[i]);
      expect(tips).toHaveLength(2);
      const lengths = tips.map(
        (i) => (outer.coords[6 * i] - 15) * c + (outer.coords[6 * i + 1] - 15) * s,
      );
      expect(Math.min(...lengths)).toBeCloseTo(-9.95, 0.7);
      expect(Math.max(...lengths)).toBeCloseTo(9.95, 0.7);
    },
  );

  it('does not reach beyond the box of what was traced, for the margin may begin there', () => {
    const cut = painted(300, 300, (x, y) => {
      const inside = x > 60 && x < 240 && y > 60 && y < 240;
      return inside && Math.hypot(x - 150, y - 60) > 40 && Math.hypot(x - 60, y - 200) > 25;
    });
    const [{ outer }] = eased(cut).result.shapes;
    const points = flatten(outer, 0.002);
    expect(Math.min(...points)).toBeGreaterThan(6 - 0.04);
    expect(Math.max(...points)).toBeLessThan(24 + 0.04);
  });

  it('makes no corner of the pixels along a slanting or gently bent edge', () => {
    const wave = painted(400, 200, (x, y) => {
      const level = 60 + 0.13 * x + 12 * Math.sin(x / 60);
      return x > 20 && x < 380 && y > level && y < level + 60;
    });
    const { result } = eased(wave);
    expect(result.corners).toBe(4);
  });

  it('marks corners for a blade that turns more widely', () => {
    const blob = painted(200, 200, (x, y) => Math.hypot(x - 100, (y - 100) * 1.5) < 25);
    const knife = eased(blob, craftKnife);
    expect(eased(blob).result.corners).toBe(0);
    expect(knife.result.corners).toBeGreaterThan(0);
    expect(tightestWithin(knife.result.shapes[0].outer)).toBeLessThan(1.05 / 3);
  });

  it.each([
    [10, 4],
    [14, 0],
    [30, -8],
  ])(
    'turns no tighter where an outline is squeezed back into the frame beside a bay of radius %d px',
    (r, inside) => {
      // The opening's left edge lies on the frame for half a millimetre, then the bay begins.
      const middle = 25 + Math.sqrt(r * r - inside * inside);
      const bitmap = painted(160, 160, (x, y) => {
        const isInside = x > 20 && x < 130 && y > 20 && y < 140;
        return isInside && Math.hypot(x - 20 - inside, y - middle) > r;
      });
      for (const outline of outlinesOf(eased(bitmap, craftKnife).result.shapes)) {
        expect(tightestWithin(outline) * craftKnife.tightestTurn).toBeLessThan(1 / 0.9);
        expect(sharpestJoint(outline)).toBeLessThan(10);
      }
    },
  );

  it('copes with openings of a few pixels', () => {
    const { result } = eased(drawn('.......', '.##....', '.##.##.', '....#..', '.......'));
    expect(result.shapes).toHaveLength(2);
    expect(result.deviationMm).toBeLessThan(0.25);
  });

  describe.each([
    ['hot tip', hotTip],
    ['craft knife', craftKnife],
  ])('for random pictures and a %s', (_, job) => {
    const pictures = fc.record({
      kind: fc.constantFrom(...randomKinds),
      seed: fc.integer({ min: 0, max: 1e6 }),
    });
    const runs = { seed: 4, numRuns: 12 };

    const known = new Map<string, ReturnType<typeof eased> & { readonly bitmap: Bitmap }>();

    /** A random picture, widened and eased: once for all that is looked at on it. */
    function wide({ kind, seed }: { kind: (typeof randomKinds)[number]; seed: number }) {
      const name = `${kind} ${seed}`;
      const made = known.get(name);
      if (made) return made;
      const { bitmap } = widen(randomPicture(kind, seed, 400, 60), PIXELS_PER_MM, job);
      const all = { bitmap, ...eased(bitmap, job) };
      known.set(name, all);
      return all;
    }

    it('turns no tighter than the tool, and goes on smoothly save at marked corners', () => {
      fc.assert(
        fc.property(pictures, (picture) => {
          const { result } = wide(picture);
          for (const outline of outlinesOf(result.shapes)) {
            expect(tightestWithin(outline) * job.tightestTurn).toBeLessThan(1.05);
            expect(sharpestJoint(outline)).toBeLessThan(2);
          }
        }),
        runs,
      );
    });

    it('stays within 0.25 mm of the traced outline away from rounded corners, as it reports', () => {
      fc.assert(
        fc.property(pictures, (picture) => {
          const { traced, result } = wide(picture);
          expect(result.deviationMm).toBeLessThanOrEqual(0.25);
          const before = outlinesOf(traced.shapes);
          outlinesOf(result.shapes).forEach((outline, i) => {
            const rounded = sharpTurns(before[i], 30, 0.5);
            expect(furthest(before[i], outline, rounded, 0.5)).toBeLessThan(0.25);
            expect(furthest(outline, before[i], rounded, 0.5)).toBeLessThan(0.25);
            // The sharpest points of film are blunted besides.
            expect(furthest(before[i], outline)).toBeLessThan(0.75);
            expect(furthest(outline, before[i])).toBeLessThan(0.4);
          });
        }),
        runs,
      );
    });

    it('keeps every outline, its direction, and clear of itself and the others', () => {
      fc.assert(
        fc.property(pictures, (picture) => {
          const { traced, result } = wide(picture);
          const before = outlinesOf(traced.shapes).map((outline) => Math.sign(signedArea(outline)));
          const after = outlinesOf(result.shapes);
          expect(after.map((outline) => Math.sign(signedArea(outline)))).toEqual(before);
          expect(crossings(after)).toBe(0);
          expect(result.curves).toBe(after.reduce((sum, { straight }) => sum + straight.length, 0));
          expect(result.corners).toBe(after.reduce((sum, { corner }) => sum + marked(corner), 0));
        }),
        runs,
      );
    });

    it('leaves film strips and openings as wide as their limits', () => {
      fc.assert(
        fc.property(pictures, (picture) => {
          const { bitmap, result } = wide(picture);
          const back = rasterise(result.shapes, bitmap.width, bitmap.height, PIXELS_PER_MM);
          expect(partsLeft(back, 0, job.narrowestStrip)).toBeLessThanOrEqual(
            partsLeft(bitmap, 0, job.narrowestStrip),
          );
          expect(partsLeft(back, 1, job.narrowestOpening)).toBeLessThanOrEqual(
            partsLeft(bitmap, 1, job.narrowestOpening),
          );
        }),
        runs,
      );
    });
  });
});

function marked(corner: Outline['corner']): number {
  return corner.reduce((sum, flag) => sum + flag, 0);
}

/** What two renderings of one outline may differ by, in px: less is no part. */
const CRUMB_PX = 30;

/** Parts that are left when just under half a width is taken off all round. */
function partsLeft(bitmap: Bitmap, value: 0 | 1, widthMm: number): number {
  const squared = squaredDistance(bitmap, value === 1 ? 0 : 1);
  const reach = (widthMm * PIXELS_PER_MM) / 2 - 0.5;
  const core = above(squared, bitmap, reach * reach);
  const { areas } = labelRegions(core, 1, value === 1 ? 8 : 4);
  return areas.subarray(1).filter((area) => area > CRUMB_PX).length;
}
