/** Digits, five dots wide and seven high, a row a number. */
const DIGITS: readonly (readonly number[])[] = [
  [14, 17, 19, 21, 25, 17, 14],
  [4, 12, 4, 4, 4, 4, 14],
  [14, 17, 1, 2, 4, 8, 31],
  [31, 2, 4, 2, 1, 17, 14],
  [2, 6, 10, 18, 31, 2, 2],
  [31, 16, 30, 1, 1, 17, 14],
  [6, 8, 16, 30, 17, 17, 14],
  [31, 1, 2, 4, 8, 8, 8],
  [14, 17, 17, 14, 17, 17, 14],
  [14, 17, 17, 15, 1, 2, 12],
];
/** The dots of a digit across and down. */
const COLUMNS = 5;
const ROWS = 7;
/**
 * A digit's dot, the light rim round a number, a ring's radius and its line, in mm: chosen by eye, so that digits 1.8
 * mm high are read on a preview at true size.
 */
const DOT_MM = 0.26;
const HALO_MM = 0.35;
const RING_MM = 1.5;
const LINE_MM = 0.3;

/** A picture that is drawn on: one byte a pixel. */
interface Canvas {
  readonly width: number;
  readonly height: number;
  readonly data: Uint8Array;
}

/** The two values to draw with: dark, and the light round it that sets it off from any ground. */
interface Inks {
  readonly dark: number;
  readonly light: number;
}

/** Writes a number with its middle at a place in px, dark on light. Writes to the canvas. */
export function writeNumber(
  canvas: Canvas,
  number: number,
  x: number,
  y: number,
  pixelsPerMm: number,
  { dark, light }: Inks,
): void {
  const dot = Math.max(1, Math.round(DOT_MM * pixelsPerMm));
  const digits = Array.from(String(number), Number);
  const width = (digits.length * (COLUMNS + 1) - 1) * dot;
  const [left, top] = [Math.round(x - width / 2), Math.round(y - (ROWS * dot) / 2)];
  const halo = Math.round(HALO_MM * pixelsPerMm);
  fillBox(canvas, left - halo, top - halo, width + 2 * halo, ROWS * dot + 2 * halo, light);
  digits.forEach((digit, place) => {
    DIGITS[digit].forEach((bits, row) => {
      for (let column = 0; column < COLUMNS; column++) {
        if (((bits >> (COLUMNS - 1 - column)) & 1) === 0) continue;
        const at = left + (place * (COLUMNS + 1) + column) * dot;
        fillBox(canvas, at, top + row * dot, dot, dot, dark);
      }
    });
  });
}

/** Draws a ring round a place in px: a dark line between two light ones. Writes to the canvas. */
export function drawRing(
  canvas: Canvas,
  x: number,
  y: number,
  pixelsPerMm: number,
  { dark, light }: Inks,
): void {
  const { width, height, data } = canvas;
  const reach = (RING_MM + LINE_MM) * pixelsPerMm;
  const half = (LINE_MM / 2) * pixelsPerMm;
  const bottom = Math.min(height - 1, Math.floor(y + reach));
  for (let row = Math.max(0, Math.ceil(y - reach)); row <= bottom; row++) {
    const right = Math.min(width - 1, Math.floor(x + reach));
    for (let column = Math.max(0, Math.ceil(x - reach)); column <= right; column++) {
      const off = Math.abs(Math.hypot(column - x, row - y) - RING_MM * pixelsPerMm);
      if (off > 2 * half) continue;
      data[row * width + column] = off <= half ? dark : light;
    }
  }
}

function fillBox(
  { width, height, data }: Canvas,
  left: number,
  top: number,
  across: number,
  down: number,
  value: number,
): void {
  const [from, to] = [Math.max(0, left), Math.min(width, left + across)];
  if (from >= to) return;
  for (let row = Math.max(0, top); row < Math.min(height, top + down); row++) {
    data.fill(value, row * width + from, row * width + to);
  }
}
