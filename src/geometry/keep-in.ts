import { cubicOf, pointAt } from './cubic.js';
import type { Frame } from './room.js';
import type { Outline } from './shape.js';

const LOOKS = 16;
/** What leaves the frame by less is not seen, in mm. */
const UNSEEN_MM = 0.02;

/**
 * Takes back the curves that bulge out of a frame between the places that they were fitted to: their ends and controls
 * are moved onto it, and a curve stays inside of the hull of those.
 */
export function keptIn(outline: Outline, frame: Frame): Outline {
  const leaving = Array.from(outline.straight, (_, i) => leaves(outline, i, frame));
  if (!leaving.includes(true)) return outline;
  const coords = outline.coords.slice();
  leaving.forEach((out, i) => {
    if (!out) return;
    for (let k = 0; k < 8; k++) {
      const at = (6 * i + k) % coords.length;
      const [least, most] = k % 2 === 0 ? [frame.left, frame.right] : [frame.top, frame.bottom];
      coords[at] = Math.min(Math.max(coords[at], least), most);
    }
  });
  return { ...outline, coords };
}

function leaves(outline: Outline, i: number, { left, top, right, bottom }: Frame): boolean {
  const cubic = cubicOf(outline, i);
  for (let look = 0; look <= LOOKS; look++) {
    const [x, y] = pointAt(cubic, look / LOOKS);
    const out = Math.max(left - x, x - right, top - y, y - bottom);
    if (out > UNSEEN_MM) return true;
  }
  return false;
}
