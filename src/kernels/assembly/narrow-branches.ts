import { addressOf, BYTES, sixteenFrom } from './lanes';
import { ANCHOR, BODY } from './thinning';

/**
 * Tells a region's thick part (ANCHOR) from the rest (BODY), and lists the rest.
 *
 * @param squared squared distance in px², a whole number or Infinity, from each pixel of the value to the nearest of
 *   the other; 0 elsewhere
 * @param limit what is less far off than this, in px², is thin
 * @param left, right, top, bottom edges in px, the last two being the first beyond; outside all counts as thick
 * @returns how many pixels `body` holds
 */
export function classifyThickness(
  data: StaticArray<u8>,
  width: i32,
  height: i32,
  value: i32,
  squared: StaticArray<f32>,
  limit: f64,
  left: i32,
  right: i32,
  top: i32,
  bottom: i32,
  mask: StaticArray<u8>,
  body: StaticArray<i32>,
): i32 {
  const thickFrom = <f32>Math.ceil(limit);
  let n = 0;
  for (let y = 0, row = 0; y < height; y++, row += width) {
    if (y < top || y >= bottom || left >= right) {
      anchor(data, row, row + width, value, mask);
      continue;
    }
    anchor(data, row, row + left, value, mask);
    n = classifyIn(data, row + left, row + right, value, squared, thickFrom, mask, body, n);
    anchor(data, row + right, row + width, value, mask);
  }
  return n;
}

/** Counts all pixels of the value from `i` to `end` as thick. */
function anchor(data: StaticArray<u8>, i: i32, end: i32, value: i32, mask: StaticArray<u8>): void {
  for (; i < end; i++) mask[i] = data[i] === value ? ANCHOR : 0;
}

/** Tells the pixels from `i` to `end`, and lists the thin ones behind the `n` that there are; returns how many then. */
function classifyIn(
  data: StaticArray<u8>,
  i: i32,
  end: i32,
  value: i32,
  squared: StaticArray<f32>,
  thickFrom: f32,
  mask: StaticArray<u8>,
  body: StaticArray<i32>,
  n: i32,
): i32 {
  const wanted = i8x16.splat(<i8>value);
  for (; i + BYTES <= end; i += BYTES) {
    const isOf = i8x16.eq(v128.load(addressOf(data, i)), wanted);
    const isThin = v128.andnot(isOf, sixteenFrom(squared, i, thickFrom));
    const kinds = v128.bitselect(i8x16.splat(BODY), i8x16.splat(ANCHOR), isThin);
    v128.store(addressOf(mask, i), v128.and(kinds, isOf));
    for (let thin = i8x16.bitmask(isThin); thin !== 0; thin &= thin - 1) body[n++] = i + ctz(thin);
  }
  for (; i < end; i++) {
    const isOf = data[i] === value;
    const isThin = isOf && squared[i] < thickFrom;
    mask[i] = isThin ? BODY : isOf ? ANCHOR : 0;
    if (isThin) body[n++] = i;
  }
  return n;
}

/** A pixel of a line that has been listed. */
const LISTED: u8 = 3;
/** Pixels of the thick part that lie further apart than this, in px, are not one place where a line meets it. */
const ONE_CONTACT = 4;

/** How a line hangs: it touches no thick part (LOOSE); it leaves one; it joins two, or one to itself (JOINS). */
export const LOOSE: i32 = 0;
const LEAVES = 1;
export const JOINS: i32 = 2;

/**
 * Lists the connected lines, one after another.
 *
 * @param mask lines (BODY) and thick parts (ANCHOR); the lines are changed
 * @param lines the pixels of lines, `count` of them
 * @param listed the same pixels, line by line
 * @param ends by line, where it ends in `listed`
 * @param kinds by line, how it hangs
 * @returns how many lines there are
 */
export function connectLines(
  mask: StaticArray<u8>,
  width: i32,
  lines: StaticArray<i32>,
  count: i32,
  listed: StaticArray<i32>,
  ends: StaticArray<i32>,
  kinds: StaticArray<i32>,
): i32 {
  let found = 0;
  let n = 0;
  for (let s = 0; s < count; s++) {
    if (mask[lines[s]] !== BODY) continue;
    let contact = -1;
    let kind = LOOSE;
    let k = n;
    mask[lines[s]] = LISTED;
    listed[n++] = lines[s];
    for (; k < n; k++) {
      for (let row = listed[k] - width; row <= listed[k] + width; row += width) {
        for (let i = row - 1; i <= row + 1; i++) {
          if (mask[i] === BODY) {
            mask[i] = LISTED;
            listed[n++] = i;
          } else if (mask[i] === ANCHOR) {
            if (contact < 0) contact = i;
            kind = max(kind, areApart(contact, i, width) ? JOINS : LEAVES);
          }
        }
      }
    }
    ends[found] = n;
    kinds[found++] = kind;
  }
  return found;
}

function areApart(a: i32, b: i32, width: i32): bool {
  return abs((a % width) - (b % width)) > ONE_CONTACT || abs(a / width - b / width) > ONE_CONTACT;
}

/**
 * Lists the pixels of the thin region that one of them belongs to, 4-connected.
 *
 * @param mask thick and thin, as `classifyThickness` has it
 * @returns how many there are
 */
export function listRegion(
  mask: StaticArray<u8>,
  width: i32,
  start: i32,
  region: StaticArray<i32>,
): i32 {
  let n = list(mask, start, region, 0);
  for (let k = 0; k < n; k++) {
    const here = region[k];
    n = list(mask, here - width, region, n);
    n = list(mask, here - 1, region, n);
    n = list(mask, here + 1, region, n);
    n = list(mask, here + width, region, n);
  }
  for (let k = 0; k < n; k++) mask[region[k]] = BODY;
  return n;
}

function list(mask: StaticArray<u8>, i: i32, region: StaticArray<i32>, n: i32): i32 {
  if (mask[i] !== BODY) return n;
  mask[i] = LISTED;
  region[n] = i;
  return n + 1;
}
