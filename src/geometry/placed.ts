import type { Outline, Point, Shape } from './shape.js';

/** Where a shape goes: moved by x, y in mm, after a quarter turn clockwise on the page if it is turned. */
export interface Placing {
  readonly x: number;
  readonly y: number;
  readonly turned: boolean;
}

/**
 * A shape at its place.
 *
 * @param heightMm of the box that it comes in, whose top left corner is 0, 0; turned, the box is as wide
 */
export function placedShape({ outer, holes }: Shape, at: Placing, heightMm: number): Shape {
  return {
    outer: placedOutline(outer, at, heightMm),
    holes: holes.map((hole) => placedOutline(hole, at, heightMm)),
  };
}

function placedOutline(outline: Outline, { x, y, turned }: Placing, heightMm: number): Outline {
  const coords = new Float64Array(outline.coords.length);
  for (let i = 0; i < coords.length; i += 2) {
    const [fromX, fromY] = [outline.coords[i], outline.coords[i + 1]];
    coords[i] = x + (turned ? heightMm - fromY : fromX);
    coords[i + 1] = y + (turned ? fromX : fromY);
  }
  return { ...outline, coords };
}

/** A shape moved by x, y in mm. */
export function translated(shape: Shape, { x, y }: Point): Shape {
  return placedShape(shape, { x, y, turned: false }, 0);
}
