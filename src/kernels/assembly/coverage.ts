/** Cells that each row has beyond its pixels, for what lies at its right edge. */
export const SPARE_CELLS: i32 = 2;

/**
 * Adds (sign 1) or takes off (sign -1) what a polygon encloses, whichever way round it runs: every edge adds to the
 * pixels that it crosses the area it bounds to their right.
 *
 * R. Levien, "Inside the fastest font renderer in the world" (2016), after the accumulation buffer of libart.
 *
 * @param points x and y by turns in mm, `n` numbers
 * @param cells signed areas, one row of pixels after another, each row with `SPARE_CELLS` more
 */
export function addOutline(
  points: StaticArray<f64>,
  n: i32,
  pixelsPerMm: f64,
  sign: f64,
  width: i32,
  height: i32,
  cells: StaticArray<f32>,
): void {
  const direction = doubleArea(points, n) < 0 ? -sign : sign;
  let x0 = clamp(points[n - 2] * pixelsPerMm, width);
  let y0 = clamp(points[n - 1] * pixelsPerMm, height);
  for (let i = 0; i < n; i += 2) {
    const x1 = clamp(points[i] * pixelsPerMm, width);
    const y1 = clamp(points[i + 1] * pixelsPerMm, height);
    if (y1 > y0) addEdge(x0, y0, x1, y1, -direction, width, height, cells);
    else if (y1 < y0) addEdge(x1, y1, x0, y0, direction, width, height, cells);
    x0 = x1;
    y0 = y1;
  }
}

function clamp(value: f64, most: i32): f64 {
  return min<f64>(max<f64>(value, 0), most);
}

/** Twice the polygon's signed area: positive where it runs clockwise on the sheet (y down). */
function doubleArea(points: StaticArray<f64>, n: i32): f64 {
  let sum: f64 = 0;
  for (let i = 0, before = n - 2; i < n; before = i, i += 2) {
    sum += points[before] * points[i + 1] - points[i] * points[before + 1];
  }
  return sum;
}

/** An edge that runs down from (x0, y0) to (x1, y1), in px. */
function addEdge(
  x0: f64,
  y0: f64,
  x1: f64,
  y1: f64,
  direction: f64,
  width: i32,
  height: i32,
  cells: StaticArray<f32>,
): void {
  const slope = (x1 - x0) / (y1 - y0);
  const lastRow = min(height, <i32>ceil(y1));
  let x = x0;
  for (let row = <i32>floor(y0); row < lastRow; row++) {
    const dy = min<f64>(<f64>(row + 1), y1) - max<f64>(row, y0);
    const next = x + slope * dy;
    addRow(cells, row * (width + SPARE_CELLS), min(x, next), max(x, next), direction * dy);
    x = next;
  }
}

/** The part of an edge within one row, from `left` to `right` px, whose signed height is `d`. */
function addRow(cells: StaticArray<f32>, row: i32, left: f64, right: f64, d: f64): void {
  const first = floor(left);
  const end = ceil(right);
  const at = row + <i32>first;
  if (end <= first + 1) {
    const middle = (left + right) / 2 - first;
    add(cells, at, d * (1 - middle));
    add(cells, at + 1, d * middle);
    return;
  }
  const perPx = 1 / (right - left);
  const inFirst = 1 - (left - first);
  const inLast = right - end + 1;
  const firstArea = 0.5 * perPx * inFirst * inFirst;
  const lastArea = 0.5 * perPx * inLast * inLast;
  add(cells, at, d * firstArea);
  const last = row + <i32>end;
  if (end === first + 2) {
    add(cells, at + 1, d * (1 - firstArea - lastArea));
  } else {
    const upToSecond = perPx * (1.5 - (left - first));
    add(cells, at + 1, d * (upToSecond - firstArea));
    for (let i = at + 2; i < last - 1; i++) add(cells, i, d * perPx);
    const upToLast = upToSecond + (end - first - 3) * perPx;
    add(cells, last - 1, d * (1 - upToLast - lastArea));
  }
  add(cells, last, d * lastArea);
}

function add(cells: StaticArray<f32>, i: i32, area: f64): void {
  cells[i] = <f32>(<f64>cells[i] + area);
}

/** Sums the cells up along the rows: how much of each pixel is covered, 0 none to 255 all. */
export function sumUpCells(
  cells: StaticArray<f32>,
  width: i32,
  height: i32,
  data: StaticArray<u8>,
): void {
  for (let row = 0; row < height; row++) {
    let sum: f64 = 0;
    for (let i = row * (width + SPARE_CELLS), to = row * width; to < (row + 1) * width; i++, to++) {
      sum += cells[i];
      data[to] = sum <= 0 ? 0 : sum >= 1 ? 255 : <u8>(sum * 255 + 0.5);
    }
  }
}
