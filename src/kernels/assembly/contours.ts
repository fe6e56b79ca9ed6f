/**
 * The slope at each pixel, and where it is a ridge; see src/raster/contours.ts.
 *
 * @param perStep what half the difference of two neighbours but one is multiplied by
 * @param across, down room for a number a pixel
 * @param slope comes out as the slope
 * @param ridge comes out as 1 where the slope is steeper than on either side, else 0
 */
export function findRidges(
  data: StaticArray<f32>,
  width: i32,
  height: i32,
  perStep: f64,
  across: StaticArray<f32>,
  down: StaticArray<f32>,
  slope: StaticArray<f32>,
  ridge: StaticArray<u8>,
): void {
  for (let y = 0; y < height; y++) {
    const above = max(y - 1, 0) * width;
    const below = min(y + 1, height - 1) * width;
    for (let x = 0; x < width; x++) {
      const i = y * width + x;
      const dx = <f64>data[i + i32(x < width - 1)] - <f64>data[i - i32(x > 0)];
      const dy = <f64>data[below + x] - <f64>data[above + x];
      across[i] = <f32>dx;
      down[i] = <f32>dy;
      slope[i] = <f32>((sqrt(dx * dx + dy * dy) * perStep) / 2);
      ridge[i] = 0;
    }
  }
  for (let y = 1; y < height - 1; y++) {
    for (let i = y * width + 1; i < (y + 1) * width - 1; i++) {
      const step = abs(across[i]) > abs(down[i]) ? 1 : width;
      ridge[i] = u8(slope[i] > slope[i - step] && slope[i] >= slope[i + step]);
    }
  }
}

/**
 * Divides the slope by its neighbourhood's, and takes off the ridges that are less steep than `goesOn` times that.
 *
 * @param usual the mean slope round each pixel; at least `least` is taken
 * @param relative comes out as the slope against it
 */
export function compareSlopes(
  slope: StaticArray<f32>,
  usual: StaticArray<f32>,
  least: f64,
  n: i32,
  goesOn: f64,
  ridge: StaticArray<u8>,
  relative: StaticArray<f32>,
): void {
  for (let i = 0; i < n; i++) {
    relative[i] = <f32>(<f64>slope[i] / <f64>(<f32>max<f64>(usual[i], least)));
    ridge[i] &= u8(<f64>relative[i] >= goesOn);
  }
}

/**
 * The weights of the ridges that are large enough and stand out somewhere.
 *
 * @param starts, ends, numbers the ridges' runs of pixels, `runs` of them, and the ridge of each
 * @param steepest room for a number a ridge, and one more; 0 all
 * @param goesOn, wholly what is as steep as its neighbourhood times these has weight 0 and 1; all have `leastWeight`
 * @param weight 0 all
 */
export function weighRidges(
  starts: StaticArray<i32>,
  ends: StaticArray<i32>,
  numbers: StaticArray<i32>,
  runs: i32,
  areas: StaticArray<i32>,
  relative: StaticArray<f32>,
  shortest: f64,
  standsOut: f64,
  goesOn: f64,
  wholly: f64,
  leastWeight: f64,
  steepest: StaticArray<f32>,
  weight: StaticArray<f32>,
): void {
  for (let run = 0; run < runs; run++) {
    const number = numbers[run];
    for (let i = starts[run]; i < ends[run]; i++) {
      steepest[number] = max(steepest[number], relative[i]);
    }
  }
  for (let run = 0; run < runs; run++) {
    const number = numbers[run];
    if (<f64>areas[number] < shortest || <f64>steepest[number] < standsOut) continue;
    for (let i = starts[run]; i < ends[run]; i++) {
      const over = (<f64>relative[i] - goesOn) / (wholly - goesOn);
      weight[i] = <f32>min<f64>(max<f64>(over, leastWeight), 1);
    }
  }
}
