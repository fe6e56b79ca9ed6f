import { REGULAR, widthMm, write } from './lettering.js';
import type { Pdf } from './print.js';

/** Mm from line to line for each point of type: 1.36 times the type, for what is broken into lines. */
const LEADING = 0.48;

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
