import { describe, expect, it } from 'vitest';
import { bluntFilm } from '../../src/geometry/blunt.js';
import { polygon } from '../output/outlines.js';

/** A square opening with a sliver of film that runs into it from the left: 4 mm deep, 1 mm wide at its root. */
const notched = polygon([
  [0, 0],
  [10, 0],
  [10, 10],
  [0, 10],
  [0, 5.5],
  [4, 5],
  [0, 4.5],
]);

describe('bluntFilm', () => {
  it('cuts a sliver of film across where it is as wide as it may be', () => {
    const blunt = bluntFilm(notched, 0.25, 1.2);
    expect(blunt.straight).toHaveLength(8);
    expect([...blunt.corner]).toEqual(Array(8).fill(1));
    const points = [...blunt.straight.keys()].map((i) => [
      blunt.coords[6 * i],
      blunt.coords[6 * i + 1],
    ]);
    const tip = points.filter(([x]) => x > 2 && x < 4);
    expect(tip).toHaveLength(2);
    const [[ax, ay], [bx, by]] = tip;
    expect(Math.hypot(ax - bx, ay - by)).toBeGreaterThanOrEqual(0.25);
    expect(Math.hypot(ax - bx, ay - by)).toBeLessThan(0.35);
  });

  it('leaves film points that are not sharp, and all points of openings', () => {
    const square = polygon([
      [0, 0],
      [10, 0],
      [10, 10],
      [0, 10],
    ]);
    expect(bluntFilm(square, 0.25, 1.2)).toBe(square);
    const spike = polygon([
      [0, 0],
      [20, 1],
      [0, 2],
    ]);
    expect(bluntFilm(spike, 0.25, 1.2)).toBe(spike);
  });

  it('does not cut back further than it may', () => {
    expect(bluntFilm(notched, 0.25, 0.5)).toBe(notched);
  });
});
