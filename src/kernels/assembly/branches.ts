import { ANCHOR, BODY, EMPTY } from './thinning';

/** How far, as a share of the width at its base, a corner's branch may stray from an even taper. */
const TAPER_SLACK = 0.2;
/** What the pixel grid adds to that, in px. */
const TAPER_GRID_PX = 0.7;
/** A branch shorter than this share of the half width at its base is a bump, not a line. */
const BUMP = 0.7;
/** A corner's branch may hide behind another one's: rounds until none is left. */
const MOST_ROUNDS = 6;

/** A pixel of the branch that is being followed. */
const SEEN: u8 = 3;

/**
 * Takes off the branches of a thinned region that only lead into its corners.
 *
 * Thinning leaves a branch from the thick part into each corner. Along such a branch the region narrows evenly
 * down to the tip; along a line that is too thin it narrows at once and then stays so. Only the first kind goes.
 *
 * @param mask what `thin` left: BODY pixels are lines, ANCHOR pixels the thick part; the branches become EMPTY
 * @param lines the BODY pixels in order, `count` of them; those that are left, in place
 * @param squared squared distance in px² from each pixel of the region to what lies outside it
 * @param leastTaper how much narrower, in px of half width a px of length, a corner has to become: the sine of half
 *   its angle; what narrows more slowly is a line
 * @param branch, along room for `count` pixels, and one more
 * @returns how many pixels of lines are left
 */
export function pruneCornerBranches(
  mask: StaticArray<u8>,
  width: i32,
  lines: StaticArray<i32>,
  count: i32,
  squared: StaticArray<f32>,
  leastTaper: f64,
  branch: StaticArray<i32>,
  along: StaticArray<f64>,
): i32 {
  let left = onLines(mask, lines, count);
  for (let round = 0; round < MOST_ROUNDS; round++) {
    let taken = 0;
    for (let k = 0; k < left; k++) {
      const end = lines[k];
      if (mask[end] !== BODY || waysFrom(mask, width, end) !== 1) continue;
      const length = followBranch(mask, width, end, branch);
      if (length === 0 || !leadsIntoCorner(branch, length, width, squared, leastTaper, along))
        continue;
      for (let i = 0; i < length; i++) mask[branch[i]] = EMPTY;
      taken += length;
    }
    if (taken === 0) break;
    left = onLines(mask, lines, left);
  }
  return left;
}

/** Keeps the pixels that are BODY; returns how many. */
function onLines(mask: StaticArray<u8>, pixels: StaticArray<i32>, count: i32): i32 {
  let n = 0;
  for (let k = 0; k < count; k++) if (mask[pixels[k]] === BODY) pixels[n++] = pixels[k];
  return n;
}

/** The step to one of the eight neighbours, clockwise from the one above. */
function stepTo(k: i32, width: i32): i32 {
  switch (k) {
    case 0:
      return -width;
    case 1:
      return 1 - width;
    case 2:
      return 1;
    case 3:
      return 1 + width;
    case 4:
      return width;
    case 5:
      return width - 1;
    case 6:
      return -1;
    default:
      return -1 - width;
  }
}

/** In how many directions a line goes on from a pixel: the runs of filled pixels in the ring round it. */
function waysFrom(mask: StaticArray<u8>, width: i32, i: i32): i32 {
  let ways = 0;
  let before = mask[i - width - 1] > 0;
  for (let k = 0; k < 8; k++) {
    const here = mask[i + stepTo(k, width)] > 0;
    if (here && !before) ways++;
    before = here;
  }
  return ways;
}

/** The neighbour by which a line goes on, one that shares a side first; -1 where it ends. */
function nextOnLine(mask: StaticArray<u8>, width: i32, here: i32): i32 {
  let corner = -1;
  for (let k = 0; k < 8; k++) {
    const i = here + stepTo(k, width);
    if (mask[i] === EMPTY || mask[i] === SEEN) continue;
    if (k % 2 === 0) return i;
    corner = i;
  }
  return corner;
}

/**
 * Follows a branch from its loose end up to, and without, the pixel where it meets the thick part or other lines,
 * which is put after the branch's own.
 *
 * @returns the branch's length in pixels; 0 when it ends loose at both sides
 */
function followBranch(mask: StaticArray<u8>, width: i32, end: i32, branch: StaticArray<i32>): i32 {
  let length = 0;
  let isWhole = false;
  for (let next = end; next >= 0; next = nextOnLine(mask, width, next)) {
    branch[length] = next;
    if (length > 0 && (mask[next] === ANCHOR || waysFrom(mask, width, next) > 2)) {
      isWhole = true;
      break;
    }
    mask[next] = SEEN;
    length++;
  }
  for (let k = 0; k < length; k++) mask[branch[k]] = BODY;
  return isWhole ? length : 0;
}

function leadsIntoCorner(
  branch: StaticArray<i32>,
  length: i32,
  width: i32,
  squared: StaticArray<f32>,
  leastTaper: f64,
  along: StaticArray<f64>,
): bool {
  const atBase = halfWidth(squared, branch[length]);
  const atTip = halfWidth(squared, branch[0]);
  measureAlong(branch, length, width, along);
  if (along[length] <= BUMP * atBase) return true;
  const taper = (atBase - atTip) / along[length];
  if (taper < leastTaper) return false;
  const slack = TAPER_SLACK * atBase + TAPER_GRID_PX;
  for (let k = 0; k < length; k++) {
    const even = halfWidth(squared, branch[k]) - atTip - taper * along[k];
    if (abs(even) > slack) return false;
  }
  return true;
}

function halfWidth(squared: StaticArray<f32>, i: i32): f64 {
  return sqrt<f64>(squared[i]);
}

/** Length in px from the loose end to each pixel of a branch, and last to its base. */
function measureAlong(
  branch: StaticArray<i32>,
  length: i32,
  width: i32,
  along: StaticArray<f64>,
): void {
  along[0] = 0;
  for (let k = 1; k <= length; k++) {
    const step = abs(branch[k] - branch[k - 1]);
    const side = step === 1 || step === width;
    along[k] = along[k - 1] + (side ? 1 : Math.SQRT2);
  }
}
