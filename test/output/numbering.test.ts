import { describe, expect, it } from 'vitest';
import { placeNumbers } from '../../src/output/pdf/numbering.js';
import { overlapsOf } from '../../src/output/pdf/overlaps.js';
import { circle, polygon, rectangle, solid } from './outlines.js';
import { planOf } from '../support/plans.js';

const sheet = { widthMm: 100, heightMm: 100 };

describe('numbers', () => {
  it('stand in the middle of a piece that has room for them', () => {
    const openings = [solid(circle(50, 40, 12))];
    const [place] = placeNumbers(planOf(openings, sheet).pieces, openings, sheet);
    expect(place.leader).toBeUndefined();
    expect(place.x).toBeCloseTo(50, 0);
    expect(place.baseline).toBeGreaterThan(40);
    expect(place.baseline).toBeLessThan(43);
  });

  it('stand beside a piece that is too small, on film, apart from one another', () => {
    const openings = [0, 4, 8, 12].map((x) => solid(rectangle(40 + x, 50, 1.6, 1.6)));
    const places = placeNumbers(planOf(openings, sheet).pieces, openings, sheet);
    expect(places.map(({ number }) => number)).toEqual([1, 2, 3, 4]);
    for (const { x, baseline, points } of places) {
      // The height and the width of a digit of the typeface, in mm.
      const [high, wide] = [0.718, 0.556].map((share) => share * points * (25.4 / 72));
      for (const left of [40, 44, 48, 52]) {
        const isOn =
          x + wide / 2 > left &&
          x - wide / 2 < left + 1.6 &&
          baseline > 50 &&
          baseline - high < 51.6;
        expect(isOn).toBe(false);
      }
    }
    for (const [i, one] of places.entries()) {
      for (const other of places.slice(i + 1)) {
        const apart =
          Math.abs(one.x - other.x) >= 1.3 || Math.abs(one.baseline - other.baseline) >= 1.7;
        expect(apart).toBe(true);
      }
    }
  });

  it('stand on the film inside a bracket never as if they were the bracket’s own opening', () => {
    const bracket = solid(
      polygon([
        [20, 20],
        [80, 20],
        [80, 26],
        [26, 26],
        [26, 74],
        [80, 74],
        [80, 80],
        [20, 80],
      ]),
    );
    const inner = solid(circle(55, 50, 15));
    const openings = [bracket, inner];
    const places = placeNumbers(planOf(openings, sheet).pieces, openings, sheet);
    const ofBracket = places.find(({ number }) => number === 2)!;
    expect(Math.hypot(ofBracket.x - 55, ofBracket.baseline - 50)).toBeGreaterThan(15);
  });
});

describe('overlaps', () => {
  it('run past the corners that point outward, both ways, and into the film', () => {
    const overlaps = overlapsOf([solid(rectangle(20, 20, 30, 20))]);
    expect(overlaps).toHaveLength(8);
    for (const { from, to } of overlaps) {
      expect(Math.hypot(to.x - from.x, to.y - from.y)).toBeCloseTo(0.8, 6);
      expect(to.x < 20 || to.x > 50 || to.y < 20 || to.y > 40).toBe(true);
    }
  });

  it('are none at a corner that points into the piece', () => {
    const notched = polygon([
      [20, 20],
      [35, 30],
      [50, 20],
      [50, 50],
      [20, 50],
    ]);
    expect(overlapsOf([solid(notched)])).toHaveLength(8);
  });

  it('take no more than a third of the film before the next cut', () => {
    const openings = [solid(rectangle(20, 20, 30, 20)), solid(rectangle(51.5, 10, 30, 40))];
    const longest = overlapsOf(openings)
      .filter(({ from, to }) => from.x === 50 && to.x > 50)
      .map(({ from, to }) => to.x - from.x);
    expect(longest).toHaveLength(2);
    for (const mm of longest) expect(mm).toBeLessThanOrEqual(0.51);
  });
});
