import { fieldOf, type Field } from './field.js';
import { findRegions } from './labels.js';
import type { Bitmap, Box, Gray } from './raster.js';

/** The grid on which light lines are looked for, in px of the raster a cell: finer is grain. */
const CELL = 2;
/**
 * So many greys, of 256, a light line stands out from the dark on both of its sides: less finds grain, more loses
 * pencil lines.
 */
const LEAST_CONTRAST = 22;

/** Opposite ways across a line, on the grid. */
const WAYS = [
  [1, 0],
  [0.707, 0.707],
  [0, 1],
  [-0.707, 0.707],
] as const;

/**
 * Finds thin light lines that a tone has lost: cells in openings that are lighter than what lies on both sides of them,
 * which is opening too. What the tone kept of a line, if only a speck, counts towards its length. A ridge by its height
 * on two sides, thinned by keeping the highest cell across it.
 *
 * @param pictureBox the pixels that the picture covers
 * @param besidePx how far to the sides the dark is looked for, in px: half of the widest line that counts as thin
 * @param shortestPx shorter ones are grain
 * @returns the pixels of the lines, a cell wide
 */
export function lightLines(
  gray: Gray,
  bitmap: Bitmap,
  pictureBox: Box,
  besidePx: number,
  shortestPx: number,
): Bitmap {
  const field = fieldOf(gray, pictureBox, CELL);
  const dark = darkOf(bitmap, pictureBox, field);
  const ridges = ridgesOf(field, dark, besidePx / CELL);
  dropOthers(ridges, dark, shortestPx / CELL);
  return enlarged(ridges, pictureBox, bitmap);
}

/** 1 where a cell's middle is opening. */
function darkOf({ width, data }: Bitmap, pictureBox: Box, like: Field): Uint8Array {
  const dark = new Uint8Array(like.width * like.height);
  for (let y = 0; y < like.height; y++) {
    const row = Math.min(pictureBox.height - 1, y * CELL + CELL / 2) + pictureBox.y;
    for (let x = 0; x < like.width; x++) {
      const column = Math.min(pictureBox.width - 1, x * CELL + CELL / 2) + pictureBox.x;
      dark[y * like.width + x] = data[row * width + column];
    }
  }
  return dark;
}

function ridgesOf({ width, height, data }: Field, dark: Uint8Array, beside: number): Bitmap {
  const ridges = new Uint8Array(data.length);
  const far = Math.ceil(beside);
  const steps = WAYS.map(([x, y]) => Math.round(beside * y) * width + Math.round(beside * x));
  const next = WAYS.map(([x, y]) => Math.round(y) * width + Math.round(x));
  for (let y = far; y < height - far; y++) {
    for (let x = far, i = y * width + far; x < width - far; x++, i++) {
      const value = data[i];
      for (let way = 0; way < WAYS.length; way++) {
        const step = steps[way];
        if (dark[i + step] === 0 || dark[i - step] === 0) continue;
        if (value - Math.max(data[i + step], data[i - step]) < LEAST_CONTRAST) continue;
        const one = next[way];
        if (value >= data[i + one] && value >= data[i - one]) ridges[i] = 1;
      }
    }
  }
  return { width, height, data: ridges };
}

/** A line is lost when the tone has kept less than this share of it: half a line no longer says what lies in front. */
const KEPT = 0.5;

/** Takes out ridges that are too short, and those that the tone has kept. Writes to the bitmap. */
function dropOthers(ridges: Bitmap, dark: Uint8Array, shortest: number): void {
  const { starts, ends, numbers, areas, bounds, count } = findRegions(ridges, 1, 8);
  const kept = new Int32Array(count + 1);
  for (let run = 0; run < starts.length; run++) {
    for (let i = starts[run]; i < ends[run]; i++) kept[numbers[run]] += 1 - dark[i];
  }
  for (let run = 0; run < starts.length; run++) {
    const number = numbers[run];
    const across = bounds[4 * number + 2] - bounds[4 * number];
    const down = bounds[4 * number + 3] - bounds[4 * number + 1];
    const isShort = Math.hypot(across, down) < shortest;
    const isKept = kept[number] >= KEPT * areas[number];
    if (isShort || isKept) ridges.data.fill(0, starts[run], ends[run]);
  }
}

function enlarged(ridges: Bitmap, pictureBox: Box, { width, height }: Bitmap): Bitmap {
  const data = new Uint8Array(width * height);
  for (let i = ridges.data.indexOf(1); i >= 0; i = ridges.data.indexOf(1, i + 1)) {
    const left = pictureBox.x + (i % ridges.width) * CELL;
    const top = pictureBox.y + Math.floor(i / ridges.width) * CELL;
    const right = Math.min(left + CELL, pictureBox.x + pictureBox.width);
    for (let y = top; y < Math.min(top + CELL, pictureBox.y + pictureBox.height); y++) {
      data.fill(1, y * width + left, y * width + right);
    }
  }
  return { width, height, data };
}
