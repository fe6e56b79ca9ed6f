/**
 * Makes a picture finer by bilinear interpolation; see src/raster/field.ts.
 *
 * @param columns, rows the coarse picture's size
 * @param across, acrossShare for each fine column: the coarse one at or before its centre, and how far it is towards
 *   the next, 0 to 1; @param down, downShare the same for the rows
 * @param blended room for one coarse row, and one more
 */
export function interpolateBilinear(
  data: StaticArray<f32>,
  columns: i32,
  rows: i32,
  across: StaticArray<i32>,
  acrossShare: StaticArray<f32>,
  down: StaticArray<i32>,
  downShare: StaticArray<f32>,
  blended: StaticArray<f32>,
  width: i32,
  height: i32,
  out: StaticArray<f32>,
): void {
  for (let y = 0; y < height; y++) {
    const first = down[y] * columns;
    const second = min(down[y] + 1, rows - 1) * columns;
    const share: f64 = downShare[y];
    for (let column = 0; column < columns; column++) {
      const value: f64 = data[first + column];
      blended[column] = <f32>(value + share * (<f64>data[second + column] - value));
    }
    blended[columns] = blended[columns - 1];
    for (let x = 0; x < width; x++) {
      const left = across[x];
      const value: f64 = blended[left];
      out[y * width + x] = <f32>(value + <f64>acrossShare[x] * (<f64>blended[left + 1] - value));
    }
  }
}

/** The means of blocks of `factor` pixels each way, of bytes; `x`, `y`, `boxWidth`, `boxHeight` is the box to take. */
export function blockMeansOfBytes(
  source: StaticArray<u8>,
  stride: i32,
  x: i32,
  y: i32,
  boxWidth: i32,
  boxHeight: i32,
  factor: i32,
  out: StaticArray<f32>,
): void {
  blockMeans<u8>(source, stride, x, y, boxWidth, boxHeight, factor, out);
}

/** The same of real numbers. */
export function blockMeansOfReals(
  source: StaticArray<f32>,
  stride: i32,
  x: i32,
  y: i32,
  boxWidth: i32,
  boxHeight: i32,
  factor: i32,
  out: StaticArray<f32>,
): void {
  blockMeans<f32>(source, stride, x, y, boxWidth, boxHeight, factor, out);
}

/** Blocks at the right and the bottom that reach over the box are the mean of what there is. */
function blockMeans<T>(
  source: StaticArray<T>,
  stride: i32,
  x: i32,
  y: i32,
  boxWidth: i32,
  boxHeight: i32,
  factor: i32,
  out: StaticArray<f32>,
): void {
  let n = 0;
  for (let top = 0; top < boxHeight; top += factor) {
    const bottom = min(top + factor, boxHeight);
    for (let left = 0; left < boxWidth; left += factor) {
      const right = min(left + factor, boxWidth);
      let sum: f64 = 0;
      for (let row = top; row < bottom; row++) {
        const start = (y + row) * stride + x;
        for (let i = start + left; i < start + right; i++) sum += <f64>source[i];
      }
      out[n++] = <f32>(sum / <f64>((bottom - top) * (right - left)));
    }
  }
}
