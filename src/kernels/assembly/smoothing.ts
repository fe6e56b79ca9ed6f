/**
 * One direction of a separable bilateral filter; see src/raster/bilateral.ts.
 *
 * @param length how many values a line has
 * @param step from one value of a line to the next
 * @param stride from one line to the next
 * @param near `reach` weights by distance, from the neighbour outward
 * @param close `levels` weights by difference; all further apart have the last
 */
export function bilateralLines(
  data: StaticArray<f32>,
  lines: i32,
  length: i32,
  step: i32,
  stride: i32,
  near: StaticArray<f64>,
  reach: i32,
  close: StaticArray<f64>,
  levels: i32,
  out: StaticArray<f32>,
): void {
  for (let line = 0; line < lines; line++) {
    const start = line * stride;
    for (let place = 0; place < length; place++) {
      const i = start + place * step;
      const value: f64 = data[i];
      let sum = value;
      let total: f64 = 1;
      for (let k = 0; k < reach; k++) {
        if (place > k) {
          const other: f64 = data[i - (k + 1) * step];
          const weight = near[k] * close[min(levels - 1, <i32>abs(other - value))];
          sum += weight * other;
          total += weight;
        }
        if (place + k + 1 < length) {
          const other: f64 = data[i + (k + 1) * step];
          const weight = near[k] * close[min(levels - 1, <i32>abs(other - value))];
          sum += weight * other;
          total += weight;
        }
      }
      out[i] = <f32>(sum / total);
    }
  }
}

/**
 * Blurs two fields along the flow only, over themselves; see src/raster/edge-tangent-flow.ts.
 *
 * @param pairs room for two numbers a pixel
 * @param flowX, flowY the direction on a coarser grid of `columns` across
 * @param scale the grid's pixels for one of the picture's
 * @param weights `steps` weights by steps of `stride` px along the line
 */
export function blurAlong(
  first: StaticArray<f32>,
  second: StaticArray<f32>,
  pairs: StaticArray<f32>,
  width: i32,
  height: i32,
  flowX: StaticArray<f32>,
  flowY: StaticArray<f32>,
  columns: i32,
  scale: f64,
  weights: StaticArray<f64>,
  steps: i32,
  stride: f64,
): void {
  for (let i = 0; i < width * height; i++) {
    pairs[2 * i] = first[i];
    pairs[2 * i + 1] = second[i];
  }
  for (let row = 0; row < height; row++) {
    for (let column = 0; column < width; column++) {
      const here = <i32>(<f64>row * scale) * columns + <i32>(<f64>column * scale);
      let sum = pairAt(pairs, row * width + column);
      let total: f64 = 1;
      for (let side: f64 = -1; side <= 1; side += 2) {
        let x = <f64>column + 0.5;
        let y = <f64>row + 0.5;
        let towardsX = <f64>flowX[here] * side;
        let towardsY = <f64>flowY[here] * side;
        for (let step = 0; step < steps; step++) {
          x += stride * towardsX;
          y += stride * towardsY;
          if (x < 0 || y < 0 || x >= <f64>width || y >= <f64>height) break;
          const there = pairAt(pairs, <i32>y * width + <i32>x);
          sum = f64x2.add(sum, f64x2.mul(f64x2.splat(weights[step]), there));
          total += weights[step];
          const at = <i32>(y * scale) * columns + <i32>(x * scale);
          // A line has no front end: keep on the way we came.
          const onward: f64 = <f64>flowX[at] * towardsX + <f64>flowY[at] * towardsY < 0 ? -1 : 1;
          towardsX = <f64>flowX[at] * onward;
          towardsY = <f64>flowY[at] * onward;
        }
      }
      const i = row * width + column;
      first[i] = <f32>(f64x2.extract_lane(sum, 0) / total);
      second[i] = <f32>(f64x2.extract_lane(sum, 1) / total);
    }
  }
}

/** Two numbers that lie side by side. */
function pairAt(pairs: StaticArray<f32>, i: i32): v128 {
  const at = changetype<usize>(pairs) + ((<usize>i) << 3);
  return f64x2.promote_low_f32x4(v128.load64_zero(at));
}
