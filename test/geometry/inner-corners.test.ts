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
    [90, 1],
    [80, 1],
    [60, 0],
  ])('counts turns of more than 70°, whichever way they lie: a turn of %s°', (turned, count) => {
    for (let way = 0; way < 360; way += 40) {
      const at = (degrees: number): readonly [number, number] => {
        const angle = (degrees * Math.PI) / 180;
        return [Math.cos(angle), Math.sin(angle)];
      };
      // From the corner in question back along one side, ahead along the other, and behind both.
      const [backX, backY] = at(way + 180);
      const [aheadX, aheadY] = at(way + turned);
      const [behindX, behindY] = at(way + 90 + turned / 2);
      const places = [
        [90 + 20 * backX, 70 + 20 * backY],
        [90, 70],
        [90 + 20 * aheadX, 70 + 20 * aheadY],
        [90 + 26 * behindX, 70 + 26 * behindY],
      ];
      const found = placesOf(opening(...places.flat()));
      expect(found.filter(([x, y]) => x === 90 && y === 70)).toHaveLength(count);
    }
  });
});
