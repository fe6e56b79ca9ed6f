import { describe, expect, it } from 'vitest';
import { cubicOf, curvatureAt, pointAt } from '../../src/geometry/cubic.js';
import type { Outline } from '../../src/geometry/shape.js';
import { turnedBack } from '../../src/geometry/outline.js';
import { circle, rectangle } from '../support/openings.js';
import { signedArea } from '../support/outlines.js';

describe('curvatureAt', () => {
  it('is positive where a curve bends clockwise on the page', () => {
    const outline = circle(0, 0, 2);
    for (let i = 0; i < 4; i++) {
      for (const t of [0, 0.3, 0.5, 1]) {
        expect(curvatureAt(cubicOf(outline, i), t) * 2).toBeCloseTo(1, 1);
      }
    }
    expect(curvatureAt(cubicOf(turnedBack(outline), 0), 0.5) * 2).toBeCloseTo(-1, 1);
  });

  it('agrees with differences of the direction', () => {
    const cubic = [0, 0, 1, 3, 4, -2, 6, 1];
    for (const t of [0.1, 0.4, 0.8]) {
      const h = 1e-4;
      const [a, b, c] = [t - h, t, t + h].map((u) => pointAt(cubic, u));
      const before = Math.atan2(b[1] - a[1], b[0] - a[0]);
      const after = Math.atan2(c[1] - b[1], c[0] - b[0]);
      const step =
        (Math.hypot(b[0] - a[0], b[1] - a[1]) + Math.hypot(c[0] - b[0], c[1] - b[1])) / 2;
      expect(curvatureAt(cubic, t)).toBeCloseTo((after - before) / step, 3);
    }
  });

  it('has no end where a curve stands still', () => {
    expect(curvatureAt([0, 0, 0, 0, 1, 1, 2, 0], 0)).toBe(Infinity);
  });
});

describe('turnedBack', () => {
  it('runs the same places the other way', () => {
    const outline = { ...rectangle(1, 2, 5, 3), corner: Uint8Array.of(1, 0, 1, 1) };
    const back = turnedBack(outline);
    expect(signedArea(back)).toBeCloseTo(-signedArea(outline), 9);
    const cornersOf = ({ coords, corner }: Outline): string[] =>
      [...corner.keys()]
        .filter((i) => corner[i])
        .map((i) => `${coords[6 * i]} ${coords[6 * i + 1]}`);
    expect(cornersOf(back).sort()).toEqual(cornersOf(outline).sort());
    expect(turnedBack(back)).toEqual(outline);
  });
});
