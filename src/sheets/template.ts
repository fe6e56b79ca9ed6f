import type { Sheet } from '../card.js';
import type { Shape } from '../geometry/shape.js';
import type { Job } from '../job.js';
import { blankPdf, collect, inMm, INK, pathOf, SOFT_INK, type Pdf } from './print.js';
import { hasRoomForTicks, writeNotes } from './notes.js';
import { pageFor } from './page.js';
import { paperFor } from './paper.js';
import { roundMm } from './pen.js';
import { printable, sizeInWords } from './wording.js';

const PALE = '#e9e9ec';
const LINE_MM = 0.25;
const HAIRLINE_MM = 0.15;
/** Across. */
const CORNER_DOT_MM = 0.75;

/** What the template shows, and for whom. */
export interface Template {
  readonly name: string;
  readonly openings: readonly Shape[];
  readonly sheet: Sheet;
  readonly job: Pick<Job, 'paper' | 'margin'>;
  /** Chooses the paper where the job does not: "en-US", "de_DE.UTF-8". */
  readonly locale: string;
}

/**
 * The true-size print to lay under clear film and follow: one page, with two bars to check its scale by. The same
 * template gives the same bytes: no date is in it.
 */
export async function templatePdf(template: Template): Promise<Uint8Array> {
  const { name, openings, sheet, job, locale } = template;
  const page = pageFor(sheet, job.margin, paperFor(job.paper, locale));
  const pdf = blankPdf(page, name);
  const bytes = collect(pdf);
  inMm(pdf, page.sheetAt, () => {
    drawOpenings(pdf, openings);
    drawSheetEdge(pdf, sheet);
    if (hasRoomForTicks(page)) drawTicks(pdf, sheet);
  });
  writeNotes(pdf, page, { name: printable(name, 'Stencil'), size: sizeInWords(sheet) });
  pdf.end();
  return bytes;
}

export function drawOpenings(pdf: Pdf, openings: readonly Shape[]): void {
  if (openings.length === 0) return;
  pathOf(pdf, openings);
  pdf.lineWidth(LINE_MM).lineJoin('round').fillAndStroke(PALE, INK, 'even-odd');
  dotCorners(pdf, openings);
}

/** Small dots where the tip stops and turns: lines of no length with round ends (ISO 32000-1, 8.5.3.2). */
function dotCorners(pdf: Pdf, openings: readonly Shape[]): void {
  pdf.save().lineWidth(CORNER_DOT_MM).lineCap('round');
  for (const { outer, holes } of openings) {
    for (const { coords, corner } of [outer, ...holes]) {
      corner.forEach((marked, curve) => {
        const [x, y] = [roundMm(coords[6 * curve]), roundMm(coords[6 * curve + 1])];
        if (marked) pdf.moveTo(x, y).lineTo(x, y);
      });
    }
  }
  pdf.stroke(INK).restore();
}

export function drawSheetEdge(pdf: Pdf, { widthMm, heightMm }: Sheet): void {
  pdf
    .rect(0, 0, widthMm, heightMm)
    .lineWidth(HAIRLINE_MM)
    .dash(1.6, { space: 1.2 })
    .stroke(SOFT_INK)
    .undash();
}

/** Short lines that point at the sheet's corners from outside. */
function drawTicks(pdf: Pdf, { widthMm, heightMm }: Sheet): void {
  for (const [x, right] of [
    [0, -1],
    [widthMm, 1],
  ] as const) {
    for (const [y, down] of [
      [0, -1],
      [heightMm, 1],
    ] as const) {
      pdf.moveTo(x + right * 1.5, y).lineTo(x + right * 4.5, y);
      pdf.moveTo(x, y + down * 1.5).lineTo(x, y + down * 4.5);
    }
  }
  pdf.lineWidth(HAIRLINE_MM).stroke(SOFT_INK);
}
