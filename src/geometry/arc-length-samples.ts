import { evenly, chainLength, type Chain } from './chain.js';
import { roundedPoints, type Corner } from './corners.js';

/**
 * Points at even steps along a closed chain, with what easing needs to know at each of them.
 *
 * The normal points into the film: to the left of the way the outline runs.
 */
export interface ArcLengthSamples {
  readonly x: Float64Array;
  readonly y: Float64Array;
  readonly normalX: Float64Array;
  readonly normalY: Float64Array;
  /** 1 at a true corner: it stays where it is. */
  readonly corner: Uint8Array;
  /** The step along the chain, in mm; it varies a little between the sections that corners make. */
  readonly stepMm: number;
}

/**
 * Samples round an outline, and from corner to corner, at the least: enough that curves can be fitted to a small one.
 */
const FEWEST = 16;
const FEWEST_IN_SECTION = 3;

/** Sets samples along a chain, one on each corner; what blur and pixels rounded there is drawn sharp again. */
export function sampleByArcLength(
  chain: Chain,
  corners: readonly Corner[],
  stepMm: number,
): ArcLengthSamples {
  const sections = corners.length > 0 ? sectionsOf(chain, corners) : [wholeRound(chain)];
  const fewest = corners.length > 0 ? Math.max(FEWEST_IN_SECTION, FEWEST / corners.length) : FEWEST;
  const evened = sections.map(({ x, y }) =>
    evenly(x, y, Math.max(Math.ceil(fewest), Math.round(chainLength(x, y) / stepMm))),
  );
  const n = evened.reduce((sum, { x }) => sum + x.length - 1, 0);
  const x = new Float64Array(n);
  const y = new Float64Array(n);
  const corner = new Uint8Array(n);
  let at = 0;
  for (const section of evened) {
    const steps = section.x.length - 1;
    corner[at] = corners.length > 0 ? 1 : 0;
    x.set(section.x.subarray(0, steps), at);
    y.set(section.y.subarray(0, steps), at);
    at += steps;
  }
  return { x, y, ...normals(x, y, corner), corner, stepMm };
}

function wholeRound({ x, y }: Chain): Chain {
  return { x: Float64Array.of(...x, x[0]), y: Float64Array.of(...y, y[0]) };
}

/** The chain from each corner to the next, without the rounded points beside them. */
function sectionsOf({ x, y }: Chain, corners: readonly Corner[]): Chain[] {
  const n = x.length;
  return corners.map((from, k) => {
    const to = corners[(k + 1) % corners.length];
    const span = ((to.index - from.index + n - 1) % n) + 1;
    const inner = Math.max(0, span - 2 * roundedPoints + 1);
    const part = { x: new Float64Array(inner + 2), y: new Float64Array(inner + 2) };
    part.x[0] = from.x;
    part.y[0] = from.y;
    for (let i = 0; i < inner; i++) {
      part.x[i + 1] = x[(from.index + roundedPoints + i) % n];
      part.y[i + 1] = y[(from.index + roundedPoints + i) % n];
    }
    part.x[inner + 1] = to.x;
    part.y[inner + 1] = to.y;
    return part;
  });
}

/** Normals from the chord between the neighbours two steps away, not reaching past a corner. */
function normals(
  x: Float64Array,
  y: Float64Array,
  corner: Uint8Array,
): Pick<ArcLengthSamples, 'normalX' | 'normalY'> {
  const n = x.length;
  const normalX = new Float64Array(n);
  const normalY = new Float64Array(n);
  for (let i = 0; i < n; i++) {
    let back = (i + n - 1) % n;
    if (!corner[back] && !corner[i]) back = (back + n - 1) % n;
    let ahead = (i + 1) % n;
    if (!corner[ahead] && !corner[i]) ahead = (ahead + 1) % n;
    const dx = x[ahead] - x[back];
    const dy = y[ahead] - y[back];
    const length = Math.hypot(dx, dy) || 1;
    normalX[i] = dy / length;
    normalY[i] = -dx / length;
  }
  return { normalX, normalY };
}
