/** What each of `n` pixels is worth, over the contours' weights; see src/raster/per-pixel-choice.ts. */
export function weighMatch(
  weight: StaticArray<f32>,
  found: StaticArray<u8>,
  invented: StaticArray<u8>,
  n: i32,
  gain: f64,
  loss: f64,
): void {
  for (let i = 0; i < n; i++) {
    weight[i] = <f32>(gain * <f64>weight[i] * <f64>found[i] - loss * <f64>invented[i]);
  }
}

/** Writes `number` where one of `n` values is larger than the largest so far, and keeps it. */
export function takeLarger(
  values: StaticArray<f32>,
  largest: StaticArray<f32>,
  which: StaticArray<u8>,
  n: i32,
  number: i32,
): void {
  for (let i = 0; i < n; i++) {
    if (values[i] <= largest[i]) continue;
    largest[i] = values[i];
    which[i] = u8(number);
  }
}

/** Adds so much of `n` values to a sum as their shares say. */
export function addShare(
  sum: StaticArray<f32>,
  share: StaticArray<f32>,
  values: StaticArray<f32>,
  n: i32,
): void {
  for (let i = 0; i < n; i++) sum[i] = <f32>(<f64>sum[i] + <f64>share[i] * <f64>values[i]);
}
