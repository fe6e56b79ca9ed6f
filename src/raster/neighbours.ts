/** The steps from a pixel to its eight neighbours, row by row, in a raster so many pixels wide. */
export function stepsRound(width: number): readonly number[] {
  return [-width - 1, -width, -width + 1, -1, 1, width - 1, width, width + 1];
}

/** The same steps in a ring, from the one above on to the right. */
export function stepsInRing(width: number): readonly number[] {
  return [-width, -width + 1, 1, width + 1, width, width - 1, -1, -width - 1];
}
