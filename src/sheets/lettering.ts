import { INK, POINTS_PER_MM, type Pdf } from './print.js';

export const REGULAR = 'Helvetica';
export const BOLD = 'Helvetica-Bold';

/** Places in the text's own frame, in mm; sizes of type in points. */
export interface Line {
  readonly text: string;
  /** The line's middle, or where it starts. */
  readonly x: number;
  readonly baseline: number;
  readonly points: number;
  readonly font?: string;
  readonly colour?: string;
  readonly align?: 'centre' | 'left';
  readonly widestMm?: number;
}

/** Writes one line of text. */
export function write(pdf: Pdf, line: Line): void {
  const { align = 'centre', font = REGULAR, colour = INK, widestMm = Infinity } = line;
  pdf.font(font).fontSize(line.points).fillColor(colour);
  const text = shortened(pdf, line.text, widestMm * POINTS_PER_MM);
  const shift = align === 'centre' ? pdf.widthOfString(text) / 2 : 0;
  pdf.text(text, line.x * POINTS_PER_MM - shift, line.baseline * POINTS_PER_MM, {
    lineBreak: false,
    baseline: 'alphabetic',
  });
}

/** How long a text is. */
export function widthMm(
  pdf: Pdf,
  { text, points, font = REGULAR }: Pick<Line, 'text' | 'points' | 'font'>,
): number {
  return pdf.font(font).fontSize(points).widthOfString(text) / POINTS_PER_MM;
}

const ROUNDING = 0.01;

/** The text, its end cut off behind an ellipsis where it is wider than `widest` points. */
function shortened(pdf: Pdf, text: string, widest: number): string {
  if (pdf.widthOfString(text) <= widest + ROUNDING) return text;
  let end = text.length - 1;
  while (end > 0 && pdf.widthOfString(`${text.slice(0, end)}…`) > widest) end--;
  return `${text.slice(0, end)}…`;
}
