import { cubicOf, pointAt } from './cubic.js';
import type { Bounds } from './bounding-box.js';
import type { Outline } from './shape.js';

/** Looks along each curve, at even parameters: a fitted curve of some mm bulges once or twice between its ends. */
const LOOKS = 16;
/** What leaves the box by less is not seen, in mm: under what the check lets pass. */
const UNSEEN_MM = 0.04;
/**
 * How far inside of the box an outline begins to give way, in mm: several times what one bulges by, so that no bend
 * is seen.
 */
const DEPTH_MM = 0.8;

/**
 * Takes an outline back that bulges out of a box between the places that it was fitted to: what lies near that side
 * is squeezed evenly, so that curves which meet smoothly still do.
 */
export function clampedToBox(outline: Outline, box: Bounds): Outline {
  const out = bulges(outline, box);
  if (Math.max(...out) <= UNSEEN_MM) return outline;
  const [left, top, right, bottom] = out;
  const coords = outline.coords.map((value, k) =>
    k % 2 === 0
      ? squeezed(-squeezed(-value, -box.left, left), box.right, right)
      : squeezed(-squeezed(-value, -box.top, top), box.bottom, bottom),
  );
  return { ...outline, coords };
}

/** How far an outline leaves a box at most, in mm: on the left, above, on the right, below. */
function bulges(outline: Outline, { left, top, right, bottom }: Bounds): readonly number[] {
  const out = [0, 0, 0, 0];
  for (let i = 0; i < outline.straight.length; i++) {
    const cubic = cubicOf(outline, i);
    for (let look = 0; look < LOOKS; look++) {
      const [x, y] = pointAt(cubic, look / LOOKS);
      [left - x, top - y, x - right, y - bottom].forEach((by, side) => {
        if (by > out[side]) out[side] = by;
      });
    }
  }
  return out;
}

/** A place near a limit that is passed by `out`: mapped so that what is `out` beyond comes to be hardly beyond it. */
function squeezed(value: number, limit: number, out: number): number {
  const deep = value - limit + DEPTH_MM;
  if (out <= UNSEEN_MM || deep <= 0) return value;
  const most = DEPTH_MM + out;
  const bend = (out - UNSEEN_MM) / most ** 2;
  const taken = deep < most ? bend * deep * deep : bend * most * (2 * deep - most);
  return value - taken;
}
