/** Marks the pixels of openings that share a side with film; the raster's own rim is left out. */
export function markOutline(
  data: StaticArray<u8>,
  width: i32,
  height: i32,
  outline: StaticArray<u8>,
): void {
  for (let i = 0; i < width * height; i++) outline[i] = 0;
  for (let y = 1; y < height - 1; y++) {
    for (let i = y * width + 1; i < (y + 1) * width - 1; i++) {
      const inside = data[i - 1] & data[i + 1] & data[i - width] & data[i + width];
      outline[i] = data[i] & (1 - inside);
    }
  }
}

/** How many sums `matchOutline` tells. */
export const MATCH_SUMS: i32 = 4;

/**
 * Pairs contour pixels with outline pixels, the nearest first, and takes off the outline what it pairs; see
 * src/raster/likeness.ts.
 *
 * @param steps the steps to the pixels within reach as x and y by turns, `count` of them, from the nearest on
 * @param left room for a number a pixel
 * @param found comes out as 1 on the contour pixels that are paired, else 0
 * @param sums `MATCH_SUMS` of them: the contours' weight, the outline's pixels, and how much of each is paired
 */
export function matchOutline(
  weight: StaticArray<f32>,
  width: i32,
  height: i32,
  outline: StaticArray<u8>,
  steps: StaticArray<i32>,
  count: i32,
  left: StaticArray<i32>,
  found: StaticArray<u8>,
  sums: StaticArray<f64>,
): void {
  let unpaired = 0;
  let wanted: f64 = 0;
  let drawn: f64 = 0;
  for (let i = 0; i < width * height; i++) {
    wanted += weight[i];
    drawn += outline[i];
    found[i] = 0;
    if (weight[i] > 0) left[unpaired++] = i;
  }
  let kept: f64 = 0;
  let pixels: f64 = 0;
  for (let step = 0; step < count; step++) {
    const dx = steps[2 * step];
    const dy = steps[2 * step + 1];
    let still = 0;
    for (let k = 0; k < unpaired; k++) {
      const i = left[k];
      const row = i / width;
      const x = i - row * width + dx;
      const y = row + dy;
      const at = y * width + x;
      if (x < 0 || y < 0 || x >= width || y >= height || outline[at] === 0) {
        left[still++] = i;
        continue;
      }
      outline[at] = 0;
      found[i] = 1;
      kept += weight[i];
      pixels += 1;
    }
    unpaired = still;
  }
  sums[0] = wanted;
  sums[1] = drawn;
  sums[2] = kept;
  sums[3] = pixels;
}
