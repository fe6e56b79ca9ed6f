import { cubicOf, pointAt } from './cubic.js';
import type { Outline, Point, Shape } from './shape.js';

/** A turn of more than this, in radians (70°), is sharp. Common practice, no source. */
const SHARP = (70 * Math.PI) / 180;
/**
 * A turn is measured between places so far from the corner along the parameters of its curves: far enough that a control
 * point on the corner itself does not hide which way they go.
 */
const BESIDE = 0.02;

/** The marked corners at which an opening runs out sharply into the film: where film tears. In mm. */
export function innerCorners(openings: readonly Shape[]): Point[] {
  return openings.flatMap(({ outer, holes }) => [outer, ...holes].flatMap(cornersOf));
}

function cornersOf(outline: Outline): Point[] {
  const count = outline.straight.length;
  const corners: Point[] = [];
  for (let i = 0; i < count; i++) {
    if (outline.corner[i] === 0) continue;
    const [ax, ay] = pointAt(cubicOf(outline, (i + count - 1) % count), 1 - BESIDE);
    const [x, y] = [outline.coords[6 * i], outline.coords[6 * i + 1]];
    const [bx, by] = pointAt(cubicOf(outline, i), BESIDE);
    // Openings lie to the left of their outlines: a turn to the left runs out into the film.
    const turn = Math.atan2(
      (x - ax) * (by - y) - (y - ay) * (bx - x),
      (x - ax) * (bx - x) + (y - ay) * (by - y),
    );
    if (turn > SHARP) corners.push({ x, y });
  }
  return corners;
}
