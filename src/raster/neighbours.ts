/** The steps from a pixel to its eight neighbours, row by row, in a raster so many pixels wide. */
export function stepsRound(width: number): readonly number[] {
  return [-width - 1, -width, -width + 1, -1, 1, width - 1, width, width + 1];
}

/** The same steps in a ring, from the one above on to the right. */
export function stepsInRing(width: number): readonly number[] {
  return [-width, -width + 1, 1, width + 1, width, width - 1, -1, -width - 1];
}

/** A pixel's neighbours, those by a side first: a walk along a line then takes no short cut past a pixel of it. */
export const eightNeighbours = (i: number, width: number): readonly number[] => [
  i - width,
  i - 1,
  i + 1,
  i + width,
  i - width - 1,
  i - width + 1,
  i + width - 1,
  i + width + 1,
];
