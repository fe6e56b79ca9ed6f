/**
 * Takes points on the edges of the cores: of each core one pixel's centre a cell, or a few more in cells that several
 * cores share.
 *
 * @param cores the number of the core at each pixel, 0 where there is none
 * @param left, top, right, bottom the part that is looked at; it leaves out the rim of the sheet
 * @param cell a cell's side in px
 * @param taken room for a number a cell, `columns` across; 0 all
 * @param pixels comes out as the points' pixels
 * @returns how many there are
 */
export function takeEdgePoints(
  cores: StaticArray<i32>,
  width: i32,
  left: i32,
  top: i32,
  right: i32,
  bottom: i32,
  cell: i32,
  columns: i32,
  taken: StaticArray<i32>,
  pixels: StaticArray<i32>,
): i32 {
  let n = 0;
  for (let y = top; y < bottom; y++) {
    const row = (y / cell) * columns;
    for (let x = left; x < right; x++) {
      const i = y * width + x;
      const core = cores[i];
      if (core === 0) continue;
      if (cores[i - 1] && cores[i + 1] && cores[i - width] && cores[i + width]) continue;
      const at = row + x / cell;
      if (taken[at] === core) continue;
      taken[at] = core;
      pixels[n++] = i;
    }
  }
  return n;
}
