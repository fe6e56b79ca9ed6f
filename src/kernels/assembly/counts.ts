import { addressOf, BYTES, sixteenFrom, whichAre } from './lanes';

/** How many of `n` bytes are not 0. */
export function countSet(data: StaticArray<u8>, n: i32): i32 {
  let zeros = 0;
  let i = 0;
  for (; i + BYTES <= n; i += BYTES) zeros += popcnt(whichAre(data, i, 0));
  for (; i < n; i++) zeros += i32(data[i] === 0);
  return n - zeros;
}

/** In how many of `n` bytes two arrays differ. */
export function countDifferent(a: StaticArray<u8>, b: StaticArray<u8>, n: i32): i32 {
  let count = 0;
  let i = 0;
  for (; i + BYTES <= n; i += BYTES) {
    const differs = i8x16.ne(v128.load(addressOf(a, i)), v128.load(addressOf(b, i)));
    count += popcnt(i8x16.bitmask(differs));
  }
  for (; i < n; i++) count += i32(a[i] !== b[i]);
  return count;
}

/** Writes 1 where a whole number, or Infinity, is more than `limit`, else 0. */
export function markBeyond(
  values: StaticArray<f32>,
  n: i32,
  limit: f64,
  out: StaticArray<u8>,
): void {
  const least = <f32>(Math.floor(limit) + 1);
  const one = i8x16.splat(1);
  let i = 0;
  for (; i + BYTES <= n; i += BYTES) {
    v128.store(addressOf(out, i), v128.and(sixteenFrom(values, i, least), one));
  }
  for (; i < n; i++) out[i] = u8(values[i] >= least);
}
