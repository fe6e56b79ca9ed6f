/** Bytes that are worked on at a time. */
export const BYTES = 16;

/** Where a byte of an array lies in memory. */
export function addressOf(bytes: StaticArray<u8>, i: i32): usize {
  return changetype<usize>(bytes) + <usize>i;
}

/** Where a number of an array of 32-bit reals lies in memory. */
export function addressOfReal(values: StaticArray<f32>, i: i32): usize {
  return changetype<usize>(values) + ((<usize>i) << 2);
}

/** Of the sixteen reals from `i` on, a byte for each, in their order: all ones where it is at least `least`, else 0. */
export function sixteenFrom(values: StaticArray<f32>, i: i32, least: f32): v128 {
  const at = addressOfReal(values, i);
  const from = f32x4.splat(least);
  const a = f32x4.ge(v128.load(at), from);
  const b = f32x4.ge(v128.load(at, 16), from);
  const c = f32x4.ge(v128.load(at, 32), from);
  const d = f32x4.ge(v128.load(at, 48), from);
  return i8x16.narrow_i16x8_s(i16x8.narrow_i32x4_s(a, b), i16x8.narrow_i32x4_s(c, d));
}

/** Of the sixteen bytes from `i` on, a bit for each that has `value`, the first one's the lowest. */
export function whichAre(bytes: StaticArray<u8>, i: i32, value: i32): i32 {
  const wanted = i8x16.splat(<i8>value);
  return i8x16.bitmask(i8x16.eq(v128.load(addressOf(bytes, i)), wanted));
}

/** Where the first byte from `i` on is that has `value`; `end` where there is none before it. */
export function nextOf(bytes: StaticArray<u8>, i: i32, end: i32, value: i32): i32 {
  for (; i + BYTES <= end; i += BYTES) {
    const found = whichAre(bytes, i, value);
    if (found !== 0) return i + ctz(found);
  }
  while (i < end && bytes[i] !== value) i++;
  return i;
}

/** Where the first byte from `i` on is that has another value; `end` where there is none before it. */
export function nextNotOf(bytes: StaticArray<u8>, i: i32, end: i32, value: i32): i32 {
  for (; i + BYTES <= end; i += BYTES) {
    const found = whichAre(bytes, i, value) ^ 0xffff;
    if (found !== 0) return i + ctz(found);
  }
  while (i < end && bytes[i] === value) i++;
  return i;
}
