import { MM_PER_INCH } from '../../settings/card.js';
import { INK, POINTS_PER_MM, type Pdf } from './print.js';

/** A bar to check the print's scale by, and the distance between its ticks. */
export interface Bar {
  readonly label: string;
  readonly lengthMm: number;
  readonly tickMm: number;
}

export const METRIC: Bar = { label: '50 mm', lengthMm: 50, tickMm: 10 };
export const IMPERIAL: Bar = { label: '2 in', lengthMm: 2 * MM_PER_INCH, tickMm: MM_PER_INCH / 2 };

/** Line, end ticks and ticks between, in mm: chosen by eye, so that a ruler laid along the bar finds its ends first. */
const HAIRLINE_MM = 0.2;
const END_TICK_MM = 2.4;
const TICK_MM = 1.4;

/** A bar on its baseline, from `left` to the right, with ticks that stand up from it. */
export function drawBar(pdf: Pdf, { lengthMm, tickMm }: Bar, left: number, baseline: number): void {
  pdf.save().scale(POINTS_PER_MM).translate(left, baseline);
  pdf.moveTo(0, -END_TICK_MM).lineTo(0, 0).lineTo(lengthMm, 0).lineTo(lengthMm, -END_TICK_MM);
  for (let x = tickMm; x < lengthMm - tickMm / 2; x += tickMm) pdf.moveTo(x, 0).lineTo(x, -TICK_MM);
  pdf.lineWidth(HAIRLINE_MM).stroke(INK).restore();
}
