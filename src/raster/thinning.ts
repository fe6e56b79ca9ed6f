/** What a pixel is to the thinning. */
export const EMPTY = 0;
/** Part of the region, may be peeled off. */
export const BODY = 1;
/** Part of the region, stays whatever happens. */
export const ANCHOR = 2;

/**
 * Peels a region down to its anchors and to the one-pixel-thin lines that join or leave them.
 *
 * Zhang & Suen, "A fast parallel algorithm for thinning digital patterns", Communications of the ACM 27 (1984), with
 * three changes: anchors are never peeled; only pixels beside one that has just been peeled are looked at again; and
 * a chosen pixel stays if the ones peeled just before it have made it a link, so that no thin diagonal or square of
 * four is lost, as happens in the original, and the region always hangs together as before.
 *
 * @param mask one byte a pixel, row by row: EMPTY, BODY or ANCHOR; no pixel on the raster's rim is BODY
 * @param body the pixels that are BODY
 * @returns the mask with the peeled pixels EMPTY
 */
export function thin(mask: Uint8Array, width: number, body: Int32Array): Uint8Array {
  const thinned = mask.slice();
  const queued = new Uint8Array(mask.length);
  let candidates = outermost(thinned, width, body);
  let idle = 0;
  for (let step = 0; idle < 2 && candidates.length > 0; step ^= 1) {
    const table = step === 0 ? FIRST_STEP : SECOND_STEP;
    const { chosen, waiting } = sortOut(thinned, width, candidates, table);
    const peeled = peel(thinned, width, chosen);
    idle = peeled.length === 0 ? idle + 1 : 0;
    candidates = nextCandidates(thinned, width, waiting, peeled, queued);
  }
  return thinned;
}

/** Bits of a neighbourhood, clockwise from the pixel above: N 1, NE 2, E 4, SE 8, S 16, SW 32, W 64, NW 128. */
function neighbourhood(mask: Uint8Array, width: number, i: number): number {
  return (
    (mask[i - width] > 0 ? 1 : 0) |
    (mask[i - width + 1] > 0 ? 2 : 0) |
    (mask[i + 1] > 0 ? 4 : 0) |
    (mask[i + width + 1] > 0 ? 8 : 0) |
    (mask[i + width] > 0 ? 16 : 0) |
    (mask[i + width - 1] > 0 ? 32 : 0) |
    (mask[i - 1] > 0 ? 64 : 0) |
    (mask[i - width - 1] > 0 ? 128 : 0)
  );
}

/** True where taking the middle pixel parts nothing, opens no hole and ends no line. */
function loose(bits: number): boolean {
  let neighbours = 0;
  let rises = 0;
  for (let k = 0; k < 8; k++) {
    const here = (bits >> k) & 1;
    neighbours += here;
    if (here === 0 && ((bits >> ((k + 1) % 8)) & 1) === 1) rises++;
  }
  return neighbours >= 2 && neighbours <= 6 && rises === 1;
}

/** For each of the 256 neighbourhoods: 1 where the published conditions let the pixel go in that half step. */
function peelTable(first: boolean): Uint8Array {
  const table = new Uint8Array(256);
  for (let bits = 0; bits < 256; bits++) {
    const p = (k: number): number => (bits >> k) & 1;
    const [n, e, s, w] = [p(0), p(2), p(4), p(6)];
    const shell = first ? n * e * s === 0 && e * s * w === 0 : n * e * w === 0 && n * s * w === 0;
    table[bits] = loose(bits) && shell ? 1 : 0;
  }
  return table;
}

const LOOSE = Uint8Array.from({ length: 256 }, (_, bits) => (loose(bits) ? 1 : 0));
const FIRST_STEP = peelTable(true);
const SECOND_STEP = peelTable(false);

/** The body pixels that have an empty pixel at a side. */
function outermost(mask: Uint8Array, width: number, body: Int32Array): Int32Array {
  const found = new Int32Array(body.length);
  let count = 0;
  for (const i of body) {
    if (!mask[i - 1] || !mask[i + 1] || !mask[i - width] || !mask[i + width]) found[count++] = i;
  }
  return found.subarray(0, count);
}

/** The pixels that go in this half step, and those that may in the next; the others are links or ends for now. */
function sortOut(
  mask: Uint8Array,
  width: number,
  candidates: Int32Array,
  table: Uint8Array,
): { readonly chosen: Int32Array; readonly waiting: Int32Array } {
  const chosen = new Int32Array(candidates.length);
  const waiting = new Int32Array(candidates.length);
  let goes = 0;
  let waits = 0;
  for (const i of candidates) {
    const bits = neighbourhood(mask, width, i);
    if (table[bits] === 1) chosen[goes++] = i;
    else if (LOOSE[bits] === 1) waiting[waits++] = i;
  }
  return { chosen: chosen.subarray(0, goes), waiting: waiting.subarray(0, waits) };
}

/** Takes the chosen pixels off, one after another, but for those that have become a link. Writes to the mask. */
function peel(mask: Uint8Array, width: number, chosen: Int32Array): Int32Array {
  let count = 0;
  for (const i of chosen) {
    if (LOOSE[neighbourhood(mask, width, i)] === 0) continue;
    mask[i] = EMPTY;
    chosen[count++] = i;
  }
  return chosen.subarray(0, count);
}

/**
 * The pixels to look at in the next half step: those that wait, and the neighbours of those just peeled. Writes to
 * `queued`, and leaves it as it was.
 */
function nextCandidates(
  mask: Uint8Array,
  width: number,
  waiting: Int32Array,
  peeled: Int32Array,
  queued: Uint8Array,
): Int32Array {
  const next = new Int32Array(waiting.length + 8 * peeled.length);
  let count = 0;
  for (const i of waiting) {
    queued[i] = 1;
    next[count++] = i;
  }
  for (const i of peeled) {
    for (let row = i - width; row <= i + width; row += width) {
      for (let k = row - 1; k <= row + 1; k++) {
        if (mask[k] !== BODY || queued[k] === 1) continue;
        queued[k] = 1;
        next[count++] = k;
      }
    }
  }
  for (let k = 0; k < count; k++) queued[next[k]] = 0;
  return next.subarray(0, count);
}
