/** How many of `n` bytes are not 0. */
export function countSet(data: StaticArray<u8>, n: i32): i32 {
  let count = 0;
  for (let i = 0; i < n; i++) count += i32(data[i] !== 0);
  return count;
}

/** In how many of `n` bytes two arrays differ. */
export function countDifferent(a: StaticArray<u8>, b: StaticArray<u8>, n: i32): i32 {
  let count = 0;
  for (let i = 0; i < n; i++) count += i32(a[i] !== b[i]);
  return count;
}

/** Writes 1 where a byte is at least `least`, else 0. */
export function markFrom(data: StaticArray<u8>, n: i32, least: i32): void {
  for (let i = 0; i < n; i++) data[i] = u8(<i32>data[i] >= least);
}

/** Writes 1 where a number is more than `limit`, else 0. */
export function markBeyond(
  values: StaticArray<f32>,
  n: i32,
  limit: f64,
  out: StaticArray<u8>,
): void {
  for (let i = 0; i < n; i++) out[i] = u8(<f64>values[i] > limit);
}
