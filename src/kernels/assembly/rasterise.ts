/**
 * Marks, on each pixel row, the first pixel centre right of each edge of the polygon: where the inside flips.
 * Two marks on one pixel cancel.
 *
 * @param points x and y by turns in mm, `n` numbers
 */
export function flipInside(
  points: StaticArray<f64>,
  n: i32,
  pixelsPerMm: f64,
  data: StaticArray<u8>,
  width: i32,
  height: i32,
): void {
  let x0 = points[n - 2] * pixelsPerMm;
  let y0 = points[n - 1] * pixelsPerMm;
  for (let i = 0; i < n; i += 2) {
    const x1 = points[i] * pixelsPerMm;
    const y1 = points[i + 1] * pixelsPerMm;
    const first = <i32>max<f64>(0, ceil(min(y0, y1) - 0.5));
    const last = <i32>min<f64>(height, ceil(max(y0, y1) - 0.5));
    const slope = (x1 - x0) / (y1 - y0);
    for (let row = first; row < last; row++) {
      const x = max<f64>(0, ceil(x0 + (<f64>row + 0.5 - y0) * slope - 0.5));
      if (x < <f64>width) data[row * width + <i32>x] ^= 1;
    }
    x0 = x1;
    y0 = y1;
  }
}

/** Fills what lies between the marks, row by row. */
export function fillRows(data: StaticArray<u8>, width: i32, height: i32): void {
  for (let row = 0; row < height; row++) {
    let inside: u8 = 0;
    for (let i = row * width; i < (row + 1) * width; i++) {
      inside ^= data[i];
      data[i] = inside;
    }
  }
}
