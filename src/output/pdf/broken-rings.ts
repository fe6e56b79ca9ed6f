import type { Broken } from '../broken.js';
import { BROKEN_INK, type Pdf } from './print.js';

/** Of a ring on a small picture, in mm on paper: plainly larger than the mark of a start; and its line. By eye. */
const [RING_MM, LINE_MM] = [2, 0.3];

/** Rings where a promise is broken, on a picture of the sheet that is so many times as large. */
export function drawBroken(pdf: Pdf, broken: Broken | undefined, scale: number): void {
  if (!broken || broken.at.length === 0) return;
  for (const { x, y } of broken.at) pdf.circle(x, y, RING_MM / scale);
  pdf.lineWidth(LINE_MM / scale).stroke(BROKEN_INK);
}
