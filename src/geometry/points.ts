import type { Point } from './shape.js';

/** How far two points lie from each other, in their unit. */
export const distance = (a: Point, b: Point): number => Math.hypot(a.x - b.x, a.y - b.y);

/** The point halfway between two. */
export const midpoint = (a: Point, b: Point): Point => ({ x: (a.x + b.x) / 2, y: (a.y + b.y) / 2 });

/** The point on the line from a to b at a share of it, 0 at a and 1 at b (linear interpolation). */
export const interpolated = (a: Point, b: Point, share: number): Point => ({
  x: a.x + share * (b.x - a.x),
  y: a.y + share * (b.y - a.y),
});
