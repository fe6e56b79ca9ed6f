import { hypot, pow } from './math';

/**
 * What stands out at each pixel: the slope of the lightness along an edge's scale, and the difference of centre and
 * surround; see src/raster/saliency.ts.
 */
export function centreSurround(
  fine: StaticArray<f32>,
  feature: StaticArray<f32>,
  ground: StaticArray<f32>,
  width: i32,
  height: i32,
  out: StaticArray<f32>,
): void {
  for (let y = 0; y < height; y++) {
    const above = max(0, y - 1) * width;
    const below = min(height - 1, y + 1) * width;
    for (let x = 0; x < width; x++) {
      const i = y * width + x;
      const across = <f64>fine[i + i32(x < width - 1)] - <f64>fine[i - i32(x > 0)];
      const slope = hypot(across, <f64>fine[below + x] - <f64>fine[above + x]);
      out[i] = <f32>(slope + abs(<f64>feature[i] - <f64>ground[i]));
    }
  }
}

/** Divisive normalisation: each of `n` values against what stands out round about it. */
export function normaliseDivisively(
  values: StaticArray<f32>,
  around: StaticArray<f32>,
  n: i32,
  scale: f64,
  faint: f64,
): void {
  for (let i = 0; i < n; i++) {
    values[i] = <f32>((scale * <f64>values[i]) / sqrt(<f64>around[i] + faint));
  }
}

/** The histogram of `n` values by their whole part, from 0 to `bins` - 1. */
export function histogram(
  values: StaticArray<f32>,
  n: i32,
  bins: i32,
  counts: StaticArray<i32>,
): void {
  for (let i = 0; i < bins; i++) counts[i] = 0;
  for (let i = 0; i < n; i++) {
    counts[<i32>min<f64>(bins - 1, max<f64>(0, floor(values[i])))]++;
  }
}

/** Maps `n` contrasts to saliency: from `least` for 0 to `most` for `full`, the growth a power. */
export function saliencyFromContrast(
  values: StaticArray<f32>,
  n: i32,
  full: f64,
  least: f64,
  most: f64,
  growth: f64,
): void {
  for (let i = 0; i < n; i++) {
    const share = min<f64>(1, <f64>values[i] / full);
    values[i] = <f32>(least + (most - least) * pow(share, growth));
  }
}
