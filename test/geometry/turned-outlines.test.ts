import { describe, expect, it } from 'vitest';
import { turnsAbout } from '../../src/geometry/fold-pattern.js';
import { turnedBack } from '../../src/geometry/outline.js';
import { rasterise } from '../../src/geometry/rasterise.js';
import type { Outline, Shape } from '../../src/geometry/shape.js';
import { turnedShapes } from '../../src/geometry/turned-outlines.js';
import { circle, rectangle } from '../support/openings.js';

const sheet = { widthMm: 40, heightMm: 40 };
const middle = { x: 20, y: 20 };
const outlinesOf = (shapes: readonly Shape[]): Outline[] =>
  shapes.flatMap(({ outer, holes }) => [outer, ...holes]);

/** How much of openings is other than some others, in mm². */
function differ(a: readonly Shape[], b: readonly Shape[]): number {
  const [one, other] = [a, b].map((shapes) => rasterise(shapes, 400, 400, 10).data);
  return one.reduce((sum, value, i) => sum + (value ^ other[i]), 0) / 100;
}
const solid = (outer: Outline): Shape => ({ outer, holes: [] });
const turned = (outlines: readonly Outline[], n: number, tilt = 0, copy = 0) =>
  turnedShapes(outlines, turnsAbout(middle, n, sheet, tilt), copy);

describe('what a part shows, turned', () => {
  it('has every image of what lies in it, and nothing of what lies elsewhere', () => {
    const images = [circle(30, 15, 2), circle(25, 30, 2), circle(10, 25, 2), circle(15, 10, 2)];
    const shown = turned([images[0], circle(8, 30, 1)], 4)!;
    expect(shown).toHaveLength(4);
    expect(differ(shown, images.map(solid))).toBeLessThan(0.05);
    // Of the second part the same is seen where that one shows it.
    expect(differ(turned([images[1]], 4, 0, 1)!, images.map(solid))).toBeLessThan(0.05);
  });

  it.each([2, 3, 5, 8])('runs on in a ring about the middle, without a corner: %i parts', (n) => {
    const ring = [circle(20, 20, 12), turnedBack(circle(20, 20, 9))];
    const [shown, ...more] = turned(ring, n, 11)!;
    expect(more).toEqual([]);
    expect(shown.holes).toHaveLength(1);
    expect(differ([shown], [{ outer: ring[0], holes: [ring[1]] }])).toBeLessThan(1);
    for (const outline of outlinesOf([shown])) expect(outline.corner.includes(1)).toBe(false);
  });

  it('meets halfway where it comes in a little off where it goes out', () => {
    // 0.2 mm off the middle: the ends on the two sides of a quarter lie 0.2 mm apart, and so far off one direction.
    const [{ outer }, ...more] = turned([circle(20.2, 20, 12)], 4)!;
    expect(more).toEqual([]);
    const { coords } = outer;
    const n = coords.length;
    const at = (i: number) => [coords[(i + n) % n], coords[(i + 1 + n) % n]] as const;
    const seams = Array.from({ length: n / 6 }, (_, k) => 6 * k).filter((i) => {
      const [x, y] = at(i);
      return Math.abs(Math.hypot(x - 20, y - 20) - 12.1) < 0.02;
    });
    expect(seams).toHaveLength(4);
    for (const i of seams) {
      const [[before, above], [x, y], [after, below]] = [at(i - 2), at(i), at(i + 2)];
      const bend = Math.atan2(y - above, x - before) - Math.atan2(below - y, after - x);
      expect(Math.abs(Math.sin(bend))).toBeLessThan(1e-6);
    }
  });

  it.each<[string, Outline[]]>([
    ['goes out further away than it comes in', [circle(21.5, 20, 12)]],
    ['has film beside where opening comes in', [circle(20, 10, 3), turnedBack(circle(30, 20, 3))]],
    ['goes out and never comes in', [rectangle(18, 8, 4, 4)]],
  ])('is nothing where what it shows %s', (_, outlines) => {
    expect(turned(outlines, 4)).toBeUndefined();
  });
});
