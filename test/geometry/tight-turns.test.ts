import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { withTightTurnsMarked } from '../../src/geometry/tight-turns.js';
import type { Outline } from '../../src/geometry/shape.js';
import { circle, rectangle } from '../support/openings.js';
import { furthest, sharpestJoint, tightestWithin } from '../support/outlines.js';

/** What the check lets through of a radius, and a kink that no hand notices, in degrees. */
const LET_THROUGH = 0.9;
const NO_KINK = 10;

/** A closed outline of four curves with controls anywhere: loops, cusps and kinks among them. */
const wild = fc
  .record({
    places: fc.array(fc.integer({ min: 0, max: 120 }), {
      minLength: 24,
      maxLength: 24,
    }),
    corner: fc.array(fc.integer({ min: 0, max: 1 }), { minLength: 4, maxLength: 4 }),
  })
  .map(({ places, corner }): Outline => ({
    coords: Float64Array.from(places, (tenths) => tenths / 10),
    straight: new Uint8Array(4),
    corner: Uint8Array.from(corner),
  }));

describe('tight turns, as the last resort', () => {
  it('are nowhere left, whatever the outline, and it stays where it was', () => {
    fc.assert(
      fc.property(wild, fc.constantFrom(0.5, 1, 3), (outline, tightestMm) => {
        const marked = withTightTurnsMarked(outline, tightestMm);
        expect(tightestWithin(marked) * tightestMm * LET_THROUGH).toBeLessThan(1.02);
        expect(sharpestJoint(marked)).toBeLessThan(NO_KINK + 1);
        expect(furthest(marked, outline)).toBeLessThan(0.04);
        expect(furthest(outline, marked)).toBeLessThan(0.04);
        // What was a corner is one still.
        const corners = [...marked.corner].filter(Boolean).length;
        expect(corners).toBeGreaterThanOrEqual([...outline.corner].filter(Boolean).length);
      }),
      { numRuns: 40, seed: 5 },
    );
  });

  it.each([
    ['a wide circle', circle(10, 10, 3), 3],
    ['a square', rectangle(2, 2, 9, 9), 3],
    ['any outline for a tool that turns anywhere', circle(10, 10, 0.2), 0],
  ])('leave %s as it is', (_, outline, tightestMm) => {
    expect(withTightTurnsMarked(outline, tightestMm)).toBe(outline);
  });

  it('become a few cuts, and the curves beside them stay', () => {
    // A leaf's tip of radius 0.2 mm between two long curves.
    const tip: Outline = {
      coords: Float64Array.of(
        ...[0, 0, 4, -3, 8, -3, 12, -0.2, 12.3, 0, 12.3, 0, 12, 0.2, 8, 3, 4, 3],
      ),
      straight: new Uint8Array(3),
      corner: Uint8Array.of(1, 0, 0),
    };
    const marked = withTightTurnsMarked(tip, 1);
    expect(marked.straight.length).toBeLessThan(10);
    expect([...marked.coords.subarray(0, 6)]).toEqual([...tip.coords.subarray(0, 6)]);
    expect([...marked.coords.subarray(-6)]).toEqual([...tip.coords.subarray(-6)]);
    expect([...marked.straight].filter(Boolean).length).toBeGreaterThan(0);
  });

  it('that are kinks between two curves become corners', () => {
    const lens: Outline = {
      coords: Float64Array.of(0, 0, 4, -3, 8, -3, 12, 0, 8, 3, 4, 3),
      straight: new Uint8Array(2),
      corner: new Uint8Array(2),
    };
    expect(withTightTurnsMarked(lens, 1)).toEqual({ ...lens, corner: Uint8Array.of(1, 1) });
  });
});
