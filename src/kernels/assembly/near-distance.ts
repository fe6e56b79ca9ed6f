import { addressOf, addressOfReal, BYTES } from './lanes';

/** Distances under this, in px, are found by looking at all columns that are no further off, eight pixels at a time. */
export const NEAR = 40;

/** More than any squared distance that counts; with the square of `NEAR` on top it still fits 16 bits. */
const NOT_THERE = 60000;
/** Pixels of a row that are worked on at a time, as numbers of 16 bits. */
const LANES = 8;

/**
 * As `squaredDistance`, for distances under `NEAR`: columns first, then along each row the least over all columns that
 * are near enough.
 *
 * @param columns room for a byte a pixel
 * @param line room for 2 bytes for each pixel of a row, and for 2 × `NEAR` + 8 more
 */
export function nearSquaredDistance(
  data: StaticArray<u8>,
  width: i32,
  height: i32,
  to: i32,
  beyond: i32,
  most: f64,
  squared: StaticArray<f32>,
  columns: StaticArray<u8>,
  line: StaticArray<u16>,
): void {
  measureColumns(columns, width, height, data, to, beyond);
  const reach = <i32>Math.sqrt(most);
  for (let x = 0; x < width + 2 * reach + LANES; x++) line[x] = <u16>NOT_THERE;
  for (let row = 0; row < width * height; row += width) {
    readRow(columns, row, width, beyond, line, reach);
    writeRow(line, width, reach, <f32>most, squared, row);
  }
}

/** Writes for each pixel the distance, in px, to the nearest pixel of value `to` in its own column, `beyond` at most. */
function measureColumns(
  distance: StaticArray<u8>,
  width: i32,
  height: i32,
  data: StaticArray<u8>,
  to: i32,
  beyond: i32,
): void {
  const end = width * height;
  for (let x = 0; x < width; x++) distance[x] = <u8>(data[x] === to ? 0 : beyond);
  const one = i8x16.splat(1);
  const wanted = i8x16.splat(<i8>to);
  const limit = i8x16.splat(<i8>beyond);
  let i = width;
  for (; i + BYTES <= end && BYTES <= width; i += BYTES) {
    const above = i8x16.add(v128.load(addressOf(distance, i - width)), one);
    const there = i8x16.eq(v128.load(addressOf(data, i)), wanted);
    v128.store(addressOf(distance, i), v128.andnot(i8x16.min_u(above, limit), there));
  }
  for (; i < end; i++) {
    const above: i32 = distance[i - width];
    distance[i] = <u8>(data[i] === to ? 0 : min(above + 1, beyond));
  }
  i = end - width;
  for (; i >= BYTES && BYTES <= width; i -= BYTES) {
    const below = i8x16.add(v128.load(addressOf(distance, i - BYTES + width)), one);
    const here = addressOf(distance, i - BYTES);
    v128.store(here, i8x16.min_u(v128.load(here), below));
  }
  for (i--; i >= 0; i--) {
    const below: i32 = <i32>distance[i + width] + 1;
    if (below < <i32>distance[i]) distance[i] = <u8>below;
  }
}

/** Writes the squares of a row of column distances into the line, `reach` from its start. */
function readRow(
  columns: StaticArray<u8>,
  row: i32,
  width: i32,
  beyond: i32,
  line: StaticArray<u16>,
  reach: i32,
): void {
  const limit = i16x8.splat(<i16>beyond);
  const notThere = i16x8.splat(<i16>NOT_THERE);
  let x = 0;
  for (; x + LANES <= width; x += LANES) {
    const d = v128.load8x8_u(addressOf(columns, row + x));
    const squares = v128.bitselect(i16x8.mul(d, d), notThere, i16x8.lt_s(d, limit));
    v128.store(address16(line, reach + x), squares);
  }
  for (; x < width; x++) {
    const d: i32 = columns[row + x];
    line[reach + x] = <u16>(d < beyond ? d * d : NOT_THERE);
  }
}

function writeRow(
  line: StaticArray<u16>,
  width: i32,
  reach: i32,
  most: f32,
  squared: StaticArray<f32>,
  row: i32,
): void {
  const notThere = i16x8.splat(<i16>NOT_THERE);
  let x = 0;
  // Up to where along the line was looked for columns that are near enough, and where the last ones were.
  let looked = 0;
  let there = -LANES;
  for (; x + LANES <= width; x += LANES) {
    for (; looked < x + LANES + 2 * reach; looked += LANES) {
      const isAway = i16x8.eq(v128.load(address16(line, looked)), notThere);
      if (!i16x8.all_true(isAway)) there = looked;
    }
    if (there + LANES <= x) {
      const at = addressOfReal(squared, row + x);
      v128.store(at, f32x4.splat(Infinity));
      v128.store(at, f32x4.splat(Infinity), 16);
      continue;
    }
    const least = nearest(line, reach + x, reach);
    writeReals(i32x4.extend_low_i16x8_u(least), most, squared, row + x);
    writeReals(i32x4.extend_high_i16x8_u(least), most, squared, row + x + 4);
  }
  for (; x < width; x++) {
    let least: i32 = line[reach + x];
    for (let k = 1; k <= reach; k++) {
      least = min(least, min<i32>(line[reach + x - k], line[reach + x + k]) + k * k);
    }
    squared[row + x] = <f32>least <= most ? <f32>least : Infinity;
  }
}

/** The squared distances of `LANES` pixels of a row, the first of them at `at` in the line. */
function nearest(line: StaticArray<u16>, at: i32, reach: i32): v128 {
  let least = v128.load(address16(line, at));
  // Where all pixels are of the value, none is nearer to another.
  if (!v128.any_true(least)) return least;
  for (let k = 1; k <= reach; k++) {
    const left = v128.load(address16(line, at - k));
    const right = v128.load(address16(line, at + k));
    const found = i16x8.add(i16x8.min_u(left, right), i16x8.splat(<i16>(k * k)));
    least = i16x8.min_u(least, found);
  }
  return least;
}

function writeReals(whole: v128, most: f32, squared: StaticArray<f32>, i: i32): void {
  const found = f32x4.convert_i32x4_u(whole);
  const told = v128.bitselect(found, f32x4.splat(Infinity), f32x4.le(found, f32x4.splat(most)));
  v128.store(addressOfReal(squared, i), told);
}

function address16(line: StaticArray<u16>, i: i32): usize {
  return changetype<usize>(line) + ((<usize>i) << 1);
}
