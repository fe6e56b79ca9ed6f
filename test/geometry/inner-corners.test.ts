import { describe, expect, it } from 'vitest';
import { innerCorners } from '../../src/geometry/inner-corners.js';
import { turnedBack } from '../../src/geometry/outline.js';
import type { Shape } from '../../src/geometry/shape.js';
import { circle, polygonOutline, rectangle } from '../support/openings.js';

const opening = (...points: number[]): Shape => ({ outer: polygonOutline(points), holes: [] });
const placesOf = (shape: Shape): readonly (readonly [number, number])[] =>
  innerCorners([shape]).map(({ x, y }) => [x, y] as const);

describe('innerCorners', () => {
  it('has the corners at which an opening runs out into the film', () => {
    // An L: five of its corners run out, film runs into the opening at the sixth.
    const corners = [40, 30, 70, 30, 70, 50, 60, 50, 60, 70, 40, 70];
    expect(placesOf(opening(...corners))).toEqual([
      [40, 30],
      [70, 30],
      [70, 50],
      [60, 70],
      [40, 70],
    ]);
  });

  it('has none where an island runs out into an opening', () => {
    const island = turnedBack(rectangle(45, 45, 20, 20));
    expect(placesOf({ outer: circle(55, 55, 30), holes: [island] })).toEqual([]);
  });

  it.each([
    ['a right angle', 90, 1],
    ['a turn of 80°', 80, 1],
    ['a turn of 60°', 60, 0],
  ])('counts turns of more than 70°: %s', (_, degrees, count) => {
    const turn = (degrees * Math.PI) / 180;
    const [x, y] = [90 + 20 * Math.cos(turn), 30 + 20 * Math.sin(turn)];
    // The first corner is a sharp one, the second is the one in question, the others are blunt.
    const found = placesOf(opening(70, 30, 90, 30, x, y, 80, 52));
    expect(found.filter(([left, top]) => left === 90 && top === 30)).toHaveLength(count);
  });
});
