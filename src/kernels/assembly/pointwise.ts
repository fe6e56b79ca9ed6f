/** The sum of `n` numbers, added up in their order. */
export function sumOf(values: StaticArray<f32>, n: i32): f64 {
  let sum: f64 = 0;
  for (let i = 0; i < n; i++) sum += values[i];
  return sum;
}

/** Multiplies `n` numbers by others, one by one. */
export function multiply(values: StaticArray<f32>, by: StaticArray<f32>, n: i32): void {
  for (let i = 0; i < n; i++) values[i] = <f32>(<f64>values[i] * <f64>by[i]);
}

/** Takes numbers off `n` others, one by one. */
export function subtract(values: StaticArray<f32>, off: StaticArray<f32>, n: i32): void {
  for (let i = 0; i < n; i++) values[i] = <f32>(<f64>values[i] - <f64>off[i]);
}

/** Moves `n` values from `middle` to `to`, and draws them `gain` times as far apart. */
export function stretch(values: StaticArray<f32>, n: i32, middle: f64, gain: f64, to: f64): void {
  for (let i = 0; i < n; i++) values[i] = <f32>(to + (<f64>values[i] - middle) * gain);
}

/** Turns the sign of the numbers that are marked. */
export function negateMarked(values: StaticArray<f32>, marks: StaticArray<u8>, n: i32): void {
  for (let i = 0; i < n; i++) if (marks[i] === 1) values[i] = -values[i];
}

/** Writes `mark`, which is 1 or 0, where a number is less than `limit`, else the other of the two. */
export function markUnder(
  values: StaticArray<f32>,
  n: i32,
  limit: f64,
  mark: i32,
  out: StaticArray<u8>,
): void {
  for (let i = 0; i < n; i++) out[i] = u8(<f64>values[i] < limit ? mark : 1 - mark);
}

/** The differences of two blurs, each drawn `core` nearer to zero, over the wider one. See src/raster/difference-of-gaussians.ts. */
export function differ(wide: StaticArray<f32>, near: StaticArray<f32>, n: i32, core: f64): void {
  for (let i = 0; i < n; i++) {
    const difference = <f64>near[i] - <f64>wide[i];
    const heard = max<f64>(0, abs(difference) - core);
    wide[i] = <f32>(difference < 0 ? -heard : heard);
  }
}

/** Maps `n` values to -1 … 1, by how far they are from their levels, over the values. See src/raster/difference-of-gaussians.ts. */
export function soften(
  values: StaticArray<f32>,
  levels: StaticArray<f32>,
  n: i32,
  softness: f64,
): void {
  for (let i = 0; i < n; i++) {
    const away = (<f64>values[i] - <f64>levels[i]) / softness;
    values[i] = <f32>(away / (1 + abs(away)));
  }
}

/** Adds up masses and lines as a mix asks for, over the masses. See src/stages/tone/mixed.ts. */
export function mixParts(
  masses: StaticArray<f32>,
  lines: StaticArray<f32>,
  n: i32,
  share: f64,
  bare: f64,
  strength: f64,
): void {
  for (let i = 0; i < n; i++) {
    masses[i] = <f32>(share * <f64>masses[i] + bare + strength * <f64>lines[i]);
  }
}

/**
 * Draws a surface of levels nearer to the values known in a neighbourhood. See src/raster/level-surface.ts.
 *
 * @param known, values the neighbourhood's weights, and its values times their weights
 * @param wider the weight of the surface that there is
 */
export function drawLevels(
  surface: StaticArray<f32>,
  known: StaticArray<f32>,
  values: StaticArray<f32>,
  n: i32,
  wider: f64,
): void {
  for (let i = 0; i < n; i++) {
    const own = max<f64>(known[i], 0);
    if (own > 0) surface[i] = <f32>((<f64>values[i] + wider * <f64>surface[i]) / (own + wider));
  }
}
