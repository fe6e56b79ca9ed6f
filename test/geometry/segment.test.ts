import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { segmentToSegment, segmentsCross, twiceArea } from '../../src/geometry/segment.js';
import type { Point } from '../../src/geometry/shape.js';

const place = fc.record({
  x: fc.integer({ min: -50, max: 50 }),
  y: fc.integer({ min: -50, max: 50 }),
});

/** The shoelace formula (textbook). */
const shoelace = (...points: readonly Point[]): number =>
  points.reduce((sum, { x, y }, i) => {
    const next = points[(i + 1) % points.length];
    return sum + x * next.y - next.x * y;
  }, 0);

describe('twiceArea', () => {
  it('is what the shoelace formula gives', () => {
    fc.assert(
      fc.property(place, place, place, (a, b, c) => {
        expect(twiceArea(a.x, a.y, b.x, b.y, c.x, c.y)).toBeCloseTo(shoelace(a, b, c), 9);
      }),
    );
  });
});

describe('segmentToSegment', () => {
  const STEPS = 40;
  const along = (a: Point, b: Point): Point[] =>
    Array.from({ length: STEPS + 1 }, (_, i) => ({
      x: a.x + ((b.x - a.x) * i) / STEPS,
      y: a.y + ((b.y - a.y) * i) / STEPS,
    }));

  it('is the least distance between places along the two, to the steps they are taken in', () => {
    fc.assert(
      fc.property(place, place, place, place, (a, b, c, d) => {
        const least = Math.min(
          ...along(a, b).flatMap((p) => along(c, d).map((q) => Math.hypot(p.x - q.x, p.y - q.y))),
        );
        const step = (from: Point, to: Point) => Math.hypot(to.x - from.x, to.y - from.y) / STEPS;
        const found = segmentToSegment(a, b, c, d);
        expect(found).toBeLessThanOrEqual(least + 1e-9);
        expect(found).toBeGreaterThanOrEqual(least - (step(a, b) + step(c, d)) / 2 - 1e-9);
        if (segmentsCross(a, b, c, d)) expect(found).toBe(0);
      }),
      { numRuns: 60 },
    );
  });
});
