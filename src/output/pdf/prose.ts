import { BOLD, REGULAR, widthMm, write } from './text.js';
import type { Pdf } from './print.js';

/** From the edge of the page to the text, in mm, with room for a punch. Common practice, no source. */
export const EDGE_MM = 16;
/** Points of the running text. Common practice, no source. */
export const LINE_POINTS = 9;
/** Mm from line to line for each point of type: 1.36 times the type, for what is broken into lines. */
const LEADING = 0.48;
/** Points of a heading, and mm from it to its text. */
const HEADING_POINTS = 10.5;
const HEADING_MM = 5;

/** Writes a heading. Gives the baseline of its text. */
export function heading(pdf: Pdf, text: string, y: number): number {
  write(pdf, { text, x: EDGE_MM, baseline: y, points: HEADING_POINTS, font: BOLD, align: 'left' });
  return y + HEADING_MM;
}

/** Writes text in lines no wider than there is room. Gives the baseline after the last. */
export function paragraph(
  pdf: Pdf,
  text: string,
  at: { readonly x: number; readonly y: number; readonly widthMm: number },
  points: number,
): number {
  const step = points * LEADING;
  let y = at.y;
  let line = '';
  const put = (): void => {
    write(pdf, { text: line, x: at.x, baseline: y, points, align: 'left', font: REGULAR });
    y += step;
  };
  for (const word of text.split(' ')) {
    const longer = line === '' ? word : `${line} ${word}`;
    if (line !== '' && widthMm(pdf, { text: longer, points }) > at.widthMm) {
      put();
      line = word;
    } else {
      line = longer;
    }
  }
  put();
  return y;
}
