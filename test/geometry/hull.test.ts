import { describe, expect, it } from 'vitest';
import { convexHull, inHull } from '../../src/geometry/hull.js';
import { signedArea } from '../../src/geometry/signed-area.js';

describe('a convex hull', () => {
  // A star with its notches, and points on its hull's sides.
  const star = Float64Array.of(0, 0, 5, 1, 10, 0, 9, 5, 10, 10, 5, 9, 0, 10, 1, 5, 5, 0, 5, 5);

  it('has the corners only, clockwise with y down', () => {
    const hull = convexHull(star);
    expect(hull).toHaveLength(8);
    expect(signedArea(hull)).toBe(100);
  });

  it('holds its inside and its edge', () => {
    const hull = convexHull(star);
    expect(inHull(hull, 5, 0.5)).toBe(true);
    expect(inHull(hull, 10, 3)).toBe(true);
    expect(inHull(hull, 10.01, 3)).toBe(false);
    expect(inHull(hull, -1, -1)).toBe(false);
  });

  it('of points on a line holds nothing', () => {
    const hull = convexHull(Float64Array.of(0, 0, 1, 1, 2, 2));
    expect(inHull(hull, 1, 1)).toBe(false);
  });
});
