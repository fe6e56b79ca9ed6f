import { imageOf, type Isometry } from '../../geometry/fold-pattern.js';
import type { Box, Gray } from '../../raster/raster.js';

/** Grey is compared by the mean of cells, so many to a millimetre, and of so many of these each way round a place. */
const CELLS_PER_MM = 2;
const AROUND = 1;
/**
 * Nowhere may that mean be further off its image's, as a share of the lightest less the darkest: a line of a fifth of a
 * millimetre that is there on one side only is; an edge that a hand's tremble moved is not.
 */
const MOST_OFF = 0.12;

/**
 * Whether the grey of a picture lies on its image wherever something dark is drawn: what a photograph shows is symmetric
 * though its tones are parted along shallow shades, which any grain moves by millimetres.
 *
 * @param content the box of what is dark, in px
 */
export function greySymmetry(
  gray: Gray,
  content: Box,
  pixelsPerMm: number,
): (to: Isometry) => boolean {
  // prettier-ignore
  const step = Math.max(1, Math.round(pixelsPerMm / CELLS_PER_MM));
  const cells = meanCells(gray, step);
  const [left, top] = [Math.floor(content.x / step), Math.floor(content.y / step)];
  const right = Math.min(cells.width, Math.ceil((content.x + content.width) / step));
  const bottom = Math.min(cells.height, Math.ceil((content.y + content.height) / step));
  let [darkest, lightest] = [255, 0];
  for (let y = top; y < bottom; y++) {
    for (let x = left; x < right; x++) {
      const value = cells.data[y * cells.width + x];
      [darkest, lightest] = [Math.min(darkest, value), Math.max(lightest, value)];
    }
  }
  const most = MOST_OFF * (lightest - darkest);
  return (to) => {
    const inCells = { ...to, e: to.e / step, f: to.f / step };
    const off = new Float32Array((right - left) * (bottom - top));
    for (let y = top, i = 0; y < bottom; y++) {
      for (let x = left; x < right; x++, i++) {
        const image = imageOf(inCells, { x: x + 0.5, y: y + 0.5 });
        const there = valueAt(cells, image.x - 0.5, image.y - 0.5);
        off[i] = there - cells.data[y * cells.width + x];
      }
    }
    return isEven(off, right - left, most);
  };
}

interface Cells {
  readonly width: number;
  readonly height: number;
  readonly data: Float32Array;
}

function meanCells({ width, height, data }: Gray, step: number): Cells {
  const [columns, rows] = [Math.floor(width / step), Math.floor(height / step)];
  const cells = new Float32Array(columns * rows);
  for (let row = 0; row < rows; row++) {
    for (let column = 0; column < columns; column++) {
      let sum = 0;
      for (let y = row * step; y < (row + 1) * step; y++) {
        for (let i = y * width + column * step; i < y * width + (column + 1) * step; i++) sum += data[i]; // prettier-ignore
      }
      cells[row * columns + column] = sum / step ** 2;
    }
  }
  return { width: columns, height: rows, data: cells };
}

/** Between four cells; those at the rim go on beyond it. */
function valueAt({ width, height, data }: Cells, x: number, y: number): number {
  const [left, top] = [Math.floor(x), Math.floor(y)];
  const at = (u: number, v: number): number =>
    data[Math.min(height - 1, Math.max(0, v)) * width + Math.min(width - 1, Math.max(0, u))];
  const [u, v] = [x - left, y - top];
  return (
    (1 - v) * ((1 - u) * at(left, top) + u * at(left + 1, top)) +
    v * ((1 - u) * at(left, top + 1) + u * at(left + 1, top + 1))
  );
}

/** Whether the mean round every place is no more than that off 0. */
function isEven(off: Float32Array, width: number, most: number): boolean {
  const height = off.length / width;
  for (let y = AROUND; y < height - AROUND; y++) {
    for (let x = AROUND; x < width - AROUND; x++) {
      let sum = 0;
      for (let v = y - AROUND; v <= y + AROUND; v++) {
        for (let u = x - AROUND; u <= x + AROUND; u++) sum += off[v * width + u];
      }
      if (Math.abs(sum) > most * (2 * AROUND + 1) ** 2) return false;
    }
  }
  return true;
}
