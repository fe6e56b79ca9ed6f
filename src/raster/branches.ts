import { ANCHOR, BODY, EMPTY } from './thinning.js';

/** How far, as a share of the width at its base, a corner's branch may stray from an even taper. */
const TAPER_SLACK = 0.2;
/** What the pixel grid adds to that, in px. */
const TAPER_GRID_PX = 0.7;
/** A branch shorter than this share of the half width at its base is a bump, not a line. */
const BUMP = 0.7;
/** A corner's branch may hide behind another one's: rounds until none is left. */
const MOST_ROUNDS = 6;

/**
 * Takes off the branches of a thinned region that only lead into its corners.
 *
 * Thinning leaves a branch from the thick part into each corner. Along such a branch the region narrows evenly
 * down to the tip; along a line that is too thin it narrows at once and then stays so. Only the first kind goes.
 *
 * @param thinned what `thin` returned: BODY pixels are lines, ANCHOR pixels the thick part
 * @param body the pixels that were BODY before it was thinned
 * @param squared squared distance in px² from each pixel of the region to what lies outside it
 * @param leastTaper how much narrower, in px of half width a px of length, a corner has to become: the sine of half
 *   its angle; what narrows more slowly is a line
 * @returns the pixels of the lines that are left, in order
 */
export function linesWithoutCorners(
  thinned: Uint8Array,
  width: number,
  body: Int32Array,
  squared: Float32Array,
  leastTaper: number,
): Int32Array {
  const mask = thinned.slice();
  let lines = body.filter((i) => mask[i] === BODY);
  for (let round = 0; round < MOST_ROUNDS; round++) {
    let taken = 0;
    for (const end of lines) {
      if (mask[end] !== BODY || waysFrom(mask, width, end) !== 1) continue;
      const branch = followBranch(mask, width, end);
      if (branch === undefined || !leadsIntoCorner(branch, width, squared, leastTaper)) continue;
      for (const i of branch.pixels) mask[i] = EMPTY;
      taken += branch.pixels.length;
    }
    if (taken === 0) break;
    lines = lines.filter((i) => mask[i] === BODY);
  }
  return lines;
}

/** Steps to the eight neighbours, clockwise from the one above. */
const around = (width: number): readonly number[] => [
  -width,
  1 - width,
  1,
  1 + width,
  width,
  width - 1,
  -1,
  -1 - width,
];

/** In how many directions a line goes on from a pixel: the runs of filled pixels in the ring round it. */
function waysFrom(mask: Uint8Array, width: number, i: number): number {
  let ways = 0;
  let before = mask[i - width - 1] > 0;
  for (const step of around(width)) {
    const here = mask[i + step] > 0;
    if (here && !before) ways++;
    before = here;
  }
  return ways;
}

/** The neighbour by which a line goes on, one that shares a side first; -1 where it ends. */
function nextOnLine(mask: Uint8Array, width: number, here: number, seen: Set<number>): number {
  let corner = -1;
  for (const [k, step] of around(width).entries()) {
    const i = here + step;
    if (mask[i] === EMPTY || seen.has(i)) continue;
    if (k % 2 === 0) return i;
    corner = i;
  }
  return corner;
}

/** A line from its loose end up to, and without, the pixel where it meets the thick part or other lines. */
interface Branch {
  readonly pixels: readonly number[];
  readonly base: number;
}

/** The branch that starts at a loose end; undefined when it ends loose at both sides. */
function followBranch(mask: Uint8Array, width: number, end: number): Branch | undefined {
  const pixels = [end];
  const seen = new Set(pixels);
  for (;;) {
    const next = nextOnLine(mask, width, pixels[pixels.length - 1], seen);
    if (next < 0) return undefined;
    if (mask[next] === ANCHOR || waysFrom(mask, width, next) > 2) return { pixels, base: next };
    pixels.push(next);
    seen.add(next);
  }
}

function leadsIntoCorner(
  { pixels, base }: Branch,
  width: number,
  squared: Float32Array,
  leastTaper: number,
): boolean {
  const atBase = Math.sqrt(squared[base]);
  const atTip = Math.sqrt(squared[pixels[0]]);
  const along = distancesAlong(pixels, base, width);
  const length = along[pixels.length];
  if (length <= BUMP * atBase) return true;
  const taper = (atBase - atTip) / length;
  if (taper < leastTaper) return false;
  const slack = TAPER_SLACK * atBase + TAPER_GRID_PX;
  return pixels.every(
    (i, k) => Math.abs(Math.sqrt(squared[i]) - atTip - taper * along[k]) <= slack,
  );
}

/** Length in px from the loose end to each pixel of a branch, and last to its base. */
function distancesAlong(pixels: readonly number[], base: number, width: number): Float64Array {
  const along = new Float64Array(pixels.length + 1);
  for (let k = 1; k <= pixels.length; k++) {
    const step = Math.abs((k < pixels.length ? pixels[k] : base) - pixels[k - 1]);
    const side = step === 1 || step === width;
    along[k] = along[k - 1] + (side ? 1 : Math.SQRT2);
  }
  return along;
}
