import { turnedBack } from './outline.js';
import type { Outline, Shape } from './shape.js';

/** A shape as it is seen from the back of a sheet so wide: left is right; outlines still run the way they did. */
export function mirroredShape({ outer, holes }: Shape, widthMm: number): Shape {
  const mirror = (outline: Outline): Outline =>
    turnedBack({
      ...outline,
      coords: outline.coords.map((value, i) => (i % 2 === 0 ? widthMm - value : value)),
    });
  return { outer: mirror(outer), holes: holes.map(mirror) };
}
