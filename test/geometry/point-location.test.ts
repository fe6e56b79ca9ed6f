import { describe, expect, it } from 'vitest';
import { shapeFinder } from '../../src/geometry/point-location.js';
import { circle, rectangle, solid } from '../output/outlines.js';

describe('the shape at a place', () => {
  const ring = { outer: circle(30, 30, 12), holes: [circle(30, 30, 6)] };
  const shapes = [solid(rectangle(2, 2, 10, 4)), ring, solid(circle(30, 30, 3))];

  it.each([
    ['within a rectangle', 11.9, 2.1, 0],
    ['in a ring', 30, 21, 1],
    ['in what lies in a ring', 31, 31, 2],
    ['in the hole between the two', 30, 34.5, -1],
    ['just off a circle, in the box round it', 38.6, 38.6, -1],
    ['just in it', 38.4, 38.4, 1],
    ['off all of them', 50, 50, -1],
  ])('%s', (_, x, y, shape) => {
    expect(shapeFinder(shapes)(x, y)).toBe(shape);
  });
});
