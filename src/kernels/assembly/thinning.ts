import { addressOf } from './lanes';

/** What a pixel is: outside the region, part of it that may be peeled off, part of it that stays. */
export const EMPTY: u8 = 0;
export const BODY: u8 = 1;
export const ANCHOR: u8 = 2;
/** BODY that waits to be looked at: by a bit that does not change what `three` sees. */
const WAITING: u8 = 5;

/**
 * A neighbourhood is nine bits, row by row from the top left, the middle one always set. For each, 1 where taking the
 * middle pixel parts nothing, opens no hole, ends no line. A second time with steps of stairs, which go, too.
 */
const NEIGHBOURHOODS = 512;
const LOOSE = new StaticArray<u8>(2 * NEIGHBOURHOODS);
/** Of those, the ones that the published conditions let go in the first half step, and after them in the second. */
const PEELED = new StaticArray<u8>(4 * NEIGHBOURHOODS);
/** The bits of the neighbours, clockwise from the one above. */
const ROUND: StaticArray<i32> = [1, 2, 5, 8, 7, 6, 3, 0];

for (let row = 0; row < 2 * NEIGHBOURHOODS; row++) {
  const bits = row % NEIGHBOURHOODS;
  const n = neighbour(bits, 0);
  const e = neighbour(bits, 2);
  const s = neighbour(bits, 4);
  const w = neighbour(bits, 6);
  const free = isLoose(bits) || (row !== bits && isStep(bits));
  LOOSE[row] = u8(free);
  PEELED[row] = u8(free && n * e * s === 0 && e * s * w === 0);
  PEELED[2 * NEIGHBOURHOODS + row] = u8(free && n * e * w === 0 && n * s * w === 0);
}

function neighbour(bits: i32, k: i32): i32 {
  return (bits >> ROUND[k % 8]) & 1;
}

function isLoose(bits: i32): bool {
  let neighbours = 0;
  let rises = 0;
  for (let k = 0; k < 8; k++) {
    const here = neighbour(bits, k);
    neighbours += here;
    if (here === 0 && neighbour(bits, k + 1) === 1) rises++;
  }
  return neighbours >= 2 && neighbours <= 6 && rises === 1;
}

/**
 * Whether a pixel is a step of a stair, whose neighbours are the two before and the two after it and hang together by their
 * corners without it.
 */
function isStep(bits: i32): bool {
  for (let side = 0; side < 8; side += 2) {
    let ring = 0;
    for (let k = 0; k < 8; k++) ring |= neighbour(bits, side + k) << k;
    // The side, the corner after it; the corner across, the side after that.
    if (ring === 0b01100011) return true;
  }
  return false;
}

/**
 * Peels a region down to its anchors and to the one-pixel-thin lines that join or leave them.
 *
 * Zhang & Suen, "A fast parallel algorithm for thinning digital patterns", Communications of the ACM 27 (1984), with
 * three changes: anchors are never peeled; only pixels beside one that has just been peeled are looked at again; and
 * a chosen pixel stays if the ones peeled just before it have made it a link, so that no thin diagonal or square of
 * four is lost, as happens in the original, and the region always hangs together as before.
 *
 * A line at about 45° that is an even number of pixels wide becomes a stair, which is peeled from its ends until nothing of
 * it is left (Lü & Wang, "A comment on 'A fast parallel algorithm for thinning digital patterns'", Communications of the
 * ACM 29, 1986, from memory). With `stairs` every second step of a stair goes, so that a diagonal is left, whose ends
 * stay; where regions run out to a corner that leaves more of a line in it.
 *
 * @param mask one byte a pixel, EMPTY, BODY or ANCHOR, peeled in place, and a byte behind it; no pixel on the raster's
 *   rim is BODY
 * @param body the pixels that are BODY, `count` of them
 * @param candidates, next, chosen room for `count` pixels each
 * @param stairs 1 to take steps of stairs off, else 0
 */
export function thin(
  mask: StaticArray<u8>,
  width: i32,
  body: StaticArray<i32>,
  count: i32,
  candidates: StaticArray<i32>,
  next: StaticArray<i32>,
  chosen: StaticArray<i32>,
  stairs: i32,
): void {
  const off = stairs * NEIGHBOURHOODS;
  let waiting = outermost(mask, width, body, count, candidates);
  let idle = 0;
  for (let step = 0; idle < 2 && waiting > 0; step ^= 1) {
    let goes = 0;
    let waits = 0;
    for (let k = 0; k < waiting; k++) {
      const i = candidates[k];
      const bits = neighbourhood(mask, width, i) + off;
      const peels = PEELED[2 * NEIGHBOURHOODS * step + bits] === 1;
      if (LOOSE[bits] === 1 && !peels) {
        next[waits++] = i;
        continue;
      }
      mask[i] = BODY;
      if (peels) chosen[goes++] = i;
    }
    const peeled = peel(mask, width, chosen, goes, off);
    idle = peeled === 0 ? idle + 1 : 0;
    waiting = addNeighbours(mask, width, next, waits, chosen, peeled);
    const done = candidates;
    candidates = next;
    next = done;
  }
  for (let k = 0; k < waiting; k++) mask[candidates[k]] = BODY;
}

function neighbourhood(mask: StaticArray<u8>, width: i32, i: i32): i32 {
  return three(mask, i - width - 1) | (three(mask, i - 1) << 3) | (three(mask, i + width - 1) << 6);
}

/** Three bits for three pixels of a row, the lowest for the first: set where it is not EMPTY, by its two lowest bits. */
function three(mask: StaticArray<u8>, i: i32): i32 {
  const bytes = load<u32>(addressOf(mask, i));
  const set = (bytes | (bytes >> 1)) & 0x010101;
  return i32((set | (set >> 7) | (set >> 14)) & 7);
}

/** Lets the body pixels wait that have an empty pixel at a side; returns how many. */
function outermost(
  mask: StaticArray<u8>,
  width: i32,
  body: StaticArray<i32>,
  count: i32,
  found: StaticArray<i32>,
): i32 {
  let n = 0;
  for (let k = 0; k < count; k++) {
    const i = body[k];
    if (mask[i - 1] && mask[i + 1] && mask[i - width] && mask[i + width]) continue;
    mask[i] = WAITING;
    found[n++] = i;
  }
  return n;
}

/** Takes the chosen pixels off, one after another, but for those that have become a link; returns how many went. */
function peel(
  mask: StaticArray<u8>,
  width: i32,
  chosen: StaticArray<i32>,
  count: i32,
  off: i32,
): i32 {
  let n = 0;
  for (let k = 0; k < count; k++) {
    const i = chosen[k];
    if (LOOSE[neighbourhood(mask, width, i) + off] === 0) continue;
    mask[i] = EMPTY;
    chosen[n++] = i;
  }
  return n;
}

/** Adds the neighbours of the pixels just peeled to those that wait; returns how many there are now. */
function addNeighbours(
  mask: StaticArray<u8>,
  width: i32,
  next: StaticArray<i32>,
  waiting: i32,
  peeled: StaticArray<i32>,
  count: i32,
): i32 {
  let n = waiting;
  for (let p = 0; p < count; p++) {
    const i = peeled[p];
    for (let row = i - width; row <= i + width; row += width) {
      for (let k = row - 1; k <= row + 1; k++) {
        if (mask[k] !== BODY) continue;
        mask[k] = WAITING;
        next[n++] = k;
      }
    }
  }
  return n;
}
