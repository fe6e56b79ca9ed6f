/** What a pixel is: outside the region, part of it that may be peeled off, part of it that stays. */
export const EMPTY: u8 = 0;
export const BODY: u8 = 1;
export const ANCHOR: u8 = 2;

/** For each of the 256 neighbourhoods: 1 where taking the middle pixel parts nothing, opens no hole, ends no line. */
const LOOSE = new StaticArray<u8>(256);
/** Of those, the ones that the published conditions let go in the first half step, and after them in the second. */
const PEELED = new StaticArray<u8>(512);

for (let bits = 0; bits < 256; bits++) {
  const n = bit(bits, 0);
  const e = bit(bits, 2);
  const s = bit(bits, 4);
  const w = bit(bits, 6);
  const free = isLoose(bits);
  LOOSE[bits] = u8(free);
  PEELED[bits] = u8(free && n * e * s === 0 && e * s * w === 0);
  PEELED[256 + bits] = u8(free && n * e * w === 0 && n * s * w === 0);
}

function bit(bits: i32, k: i32): i32 {
  return (bits >> k) & 1;
}

function isLoose(bits: i32): bool {
  let neighbours = 0;
  let rises = 0;
  for (let k = 0; k < 8; k++) {
    const here = bit(bits, k);
    neighbours += here;
    if (here === 0 && bit(bits, (k + 1) % 8) === 1) rises++;
  }
  return neighbours >= 2 && neighbours <= 6 && rises === 1;
}

/**
 * Peels a region down to its anchors and to the one-pixel-thin lines that join or leave them.
 *
 * Zhang & Suen, "A fast parallel algorithm for thinning digital patterns", Communications of the ACM 27 (1984), with
 * three changes: anchors are never peeled; only pixels beside one that has just been peeled are looked at again; and
 * a chosen pixel stays if the ones peeled just before it have made it a link, so that no thin diagonal or square of
 * four is lost, as happens in the original, and the region always hangs together as before.
 *
 * @param mask one byte a pixel, EMPTY, BODY or ANCHOR, peeled in place; no pixel on the raster's rim is BODY
 * @param body the pixels that are BODY, `count` of them
 * @param queued a byte a pixel, all 0; left so
 * @param candidates, next, chosen room for `count` pixels each
 */
export function thin(
  mask: StaticArray<u8>,
  width: i32,
  body: StaticArray<i32>,
  count: i32,
  queued: StaticArray<u8>,
  candidates: StaticArray<i32>,
  next: StaticArray<i32>,
  chosen: StaticArray<i32>,
): void {
  let waiting = outermost(mask, width, body, count, candidates);
  let idle = 0;
  for (let step = 0; idle < 2 && waiting > 0; step ^= 1) {
    let goes = 0;
    let waits = 0;
    for (let k = 0; k < waiting; k++) {
      const i = candidates[k];
      const bits = neighbourhood(mask, width, i);
      if (PEELED[256 * step + bits] === 1) chosen[goes++] = i;
      else if (LOOSE[bits] === 1) next[waits++] = i;
    }
    const peeled = peel(mask, width, chosen, goes);
    idle = peeled === 0 ? idle + 1 : 0;
    waiting = addNeighbours(mask, width, next, waits, chosen, peeled, queued);
    const done = candidates;
    candidates = next;
    next = done;
  }
}

/** Bits of a neighbourhood, clockwise from the pixel above: N 1, NE 2, E 4, SE 8, S 16, SW 32, W 64, NW 128. */
function neighbourhood(mask: StaticArray<u8>, width: i32, i: i32): i32 {
  return (
    i32(mask[i - width] > 0) |
    (i32(mask[i - width + 1] > 0) << 1) |
    (i32(mask[i + 1] > 0) << 2) |
    (i32(mask[i + width + 1] > 0) << 3) |
    (i32(mask[i + width] > 0) << 4) |
    (i32(mask[i + width - 1] > 0) << 5) |
    (i32(mask[i - 1] > 0) << 6) |
    (i32(mask[i - width - 1] > 0) << 7)
  );
}

/** Finds the body pixels that have an empty pixel at a side; returns how many. */
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
    if (!mask[i - 1] || !mask[i + 1] || !mask[i - width] || !mask[i + width]) found[n++] = i;
  }
  return n;
}

/** Takes the chosen pixels off, one after another, but for those that have become a link; returns how many went. */
function peel(mask: StaticArray<u8>, width: i32, chosen: StaticArray<i32>, count: i32): i32 {
  let n = 0;
  for (let k = 0; k < count; k++) {
    const i = chosen[k];
    if (LOOSE[neighbourhood(mask, width, i)] === 0) continue;
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
  queued: StaticArray<u8>,
): i32 {
  let n = waiting;
  for (let k = 0; k < n; k++) queued[next[k]] = 1;
  for (let p = 0; p < count; p++) {
    const i = peeled[p];
    for (let row = i - width; row <= i + width; row += width) {
      for (let k = row - 1; k <= row + 1; k++) {
        if (mask[k] !== BODY || queued[k] === 1) continue;
        queued[k] = 1;
        next[n++] = k;
      }
    }
  }
  for (let k = 0; k < n; k++) queued[next[k]] = 0;
  return n;
}
