// The film that the strips of a call lie on; set by `setFilm`.
let data: StaticArray<u8> = changetype<StaticArray<u8>>(0);
let width: i32 = 0;
let height: i32 = 0;
let importance: StaticArray<f32> = changetype<StaticArray<f32>>(0);
let columns: i32 = 0;
let rows: i32 = 0;
let frameX: i32 = 0;
let frameY: i32 = 0;
let cell: i32 = 0;

/**
 * Says which film the calls that follow look at, until arrays are laid out again.
 *
 * @param pixels 1 opening, 0 film
 * @param grid how much each cell of the picture matters, `across` × `down` of them
 * @param left, top where the grid begins, in px
 * @param side a cell's side in px; 0 where all places matter alike
 */
export function setFilm(
  pixels: StaticArray<u8>,
  wide: i32,
  high: i32,
  grid: StaticArray<f32>,
  across: i32,
  down: i32,
  left: i32,
  top: i32,
  side: i32,
): void {
  data = pixels;
  width = wide;
  height = high;
  importance = grid;
  columns = across;
  rows = down;
  frameX = left;
  frameY = top;
  cell = side;
}

/** Whether an opening lies at (x, y), in px. */
export function isOpen(x: f64, y: f64): bool {
  if (x < 0 || y < 0 || x >= width || y >= height) return false;
  const column = <i32>x;
  const row = <i32>y;
  return data[row * width + column] === 1;
}

/** How much the pixel at (x, y) matters: see `importanceAt` in src/raster/saliency.ts. */
export function mattersAt(x: f64, y: f64): f64 {
  if (cell === 0) return 1;
  const column = min<f64>(columns - 1, max<f64>(0, floor((floor(x) - frameX) / cell)));
  const row = min<f64>(rows - 1, max<f64>(0, floor((floor(y) - frameY) / cell)));
  return importance[<i32>row * columns + <i32>column];
}

/** Whether all places matter alike. */
export function isPlain(): bool {
  return cell === 0;
}
