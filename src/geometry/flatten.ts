import type { Outline } from './shape.js';

/** In mm: a fifth of a pixel of the raster, not to be told on film; where lengths and areas are read, less is asked for. */
const USUAL_TOLERANCE_MM = 0.02;
/** Of Wang's bound, for curves of degree 3: 3 · 2 / 8. */
const WANG = (3 * 2) / 8;

/**
 * The closed polygon that follows an outline, as x, y pairs in mm; the first point is not repeated at the end.
 *
 * Each curve is cut into equal steps of its parameter, n = √(3·2/8 · L / tolerance), L being the larger second
 * difference of its control points: Wang's bound on a chord's distance from a Bézier curve, as given in Goldman,
 * "Pyramid Algorithms" (2003).
 *
 * @param toleranceMm the largest distance between the polygon and the curve
 */
export function flatten(outline: Outline, toleranceMm = USUAL_TOLERANCE_MM): Float64Array {
  const { coords, straight } = outline;
  const curves = straight.length;
  const steps = new Int32Array(curves);
  let total = 0;
  for (let i = 0; i < curves; i++) {
    steps[i] = straight[i] ? 1 : stepsFor(coords, i, toleranceMm);
    total += steps[i];
  }
  const points = new Float64Array(2 * total);
  for (let i = 0, at = 0; i < curves; i++) at = writeCurve(outline, i, steps[i], points, at);
  return points;
}

/** How many equal parameter steps keep the chords of curve i within the tolerance. */
export function stepsFor(coords: Float64Array, i: number, toleranceMm: number): number {
  const a = 6 * i;
  const end = (a + 6) % coords.length;
  const ddx1 = coords[a] - 2 * coords[a + 2] + coords[a + 4];
  const ddy1 = coords[a + 1] - 2 * coords[a + 3] + coords[a + 5];
  const ddx2 = coords[a + 2] - 2 * coords[a + 4] + coords[end];
  const ddy2 = coords[a + 3] - 2 * coords[a + 5] + coords[end + 1];
  const bend = Math.max(Math.hypot(ddx1, ddy1), Math.hypot(ddx2, ddy2));
  return Math.max(1, Math.ceil(Math.sqrt((WANG * bend) / toleranceMm)));
}

function writeCurve(
  { coords }: Outline,
  i: number,
  steps: number,
  points: Float64Array,
  at: number,
): number {
  const a = 6 * i;
  const end = (a + 6) % coords.length;
  points[at++] = coords[a];
  points[at++] = coords[a + 1]!;
  for (let k = 1; k < steps; k++) {
    const t = k / steps;
    const s = 1 - t;
    const b0 = s * s * s;
    const b1 = 3 * s * s * t;
    const b2 = 3 * s * t * t;
    const b3 = t * t * t;
    points[at++] = b0 * coords[a] + b1 * coords[a + 2] + b2 * coords[a + 4] + b3 * coords[end];
    points[at++] =
      b0 * coords[a + 1] + b1 * coords[a + 3] + b2 * coords[a + 5] + b3 * coords[end + 1];
  }
  return at;
}
