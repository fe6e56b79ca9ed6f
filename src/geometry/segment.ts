import type { Point } from './shape.js';

/** Whether two line segments cross, each with its ends on different sides of the other. */
export function segmentsCross(a: Point, b: Point, c: Point, d: Point): boolean {
  return turn(a, b, c) * turn(a, b, d) < 0 && turn(c, d, a) * turn(c, d, b) < 0;
}

/** The distance of a point from a line segment. */
export function pointToSegment(p: Point, a: Point, b: Point): number {
  const t = shareAlong(p.x, p.y, a.x, a.y, b.x, b.y);
  return Math.hypot(a.x + t * (b.x - a.x) - p.x, a.y + t * (b.y - a.y) - p.y);
}

/** How far along a segment from a to b the place nearest to p lies: 0 at a, 1 at b. */
export function shareAlong(
  px: number,
  py: number,
  ax: number,
  ay: number,
  bx: number,
  by: number,
): number {
  const dx = bx - ax;
  const dy = by - ay;
  const along = ((px - ax) * dx + (py - ay) * dy) / (dx * dx + dy * dy || 1);
  return Math.max(0, Math.min(1, along));
}

/** Twice the area of a triangle, by sign. */
export function twiceArea(
  ax: number,
  ay: number,
  bx: number,
  by: number,
  cx: number,
  cy: number,
): number {
  return (bx - ax) * (cy - ay) - (by - ay) * (cx - ax);
}

/** The distance between two line segments; 0 when they cross. */
export function segmentToSegment(a: Point, b: Point, c: Point, d: Point): number {
  if (segmentsCross(a, b, c, d)) return 0;
  return Math.min(
    pointToSegment(a, c, d),
    pointToSegment(b, c, d),
    pointToSegment(c, a, b),
    pointToSegment(d, a, b),
  );
}

function turn(a: Point, b: Point, c: Point): number {
  return twiceArea(a.x, a.y, b.x, b.y, c.x, c.y);
}
