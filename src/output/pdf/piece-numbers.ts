import type { NumberPlace } from './numbering.js';
import { HAIRLINE_MM, HELP, type Pdf } from './print.js';
import { BOLD, write } from './text.js';

/** The thin lines from numbers that stand beside their pieces. */
export function drawLeaders(pdf: Pdf, numbers: readonly NumberPlace[]): void {
  for (const { leader } of numbers) {
    if (!leader) continue;
    const [from, to] = leader;
    pdf.moveTo(from.x, from.y).lineTo(to.x, to.y).lineWidth(HAIRLINE_MM).stroke(HELP);
  }
}

/** The numbers of pieces, in bold. */
export function writeNumbers(pdf: Pdf, numbers: readonly NumberPlace[]): void {
  for (const { number, x, baseline, points } of numbers)
    write(pdf, { text: String(number), x, baseline, points, font: BOLD, colour: HELP });
}
