import { createRequire } from 'node:module';
import type PdfKit from 'pdfkit';
import type { Sheet } from '../card.js';
import type { Shape } from '../geometry/shape.js';
import type { Job } from '../job.js';
import { INK, POINTS_PER_MM, SOFT_INK, type Pdf } from './print.js';
import { hasRoomForTicks, writeNotes } from './notes.js';
import { pageFor, type Page } from './page.js';
import { paperFor } from './paper.js';
import { drawShapes, roundMm } from './pen.js';
import { printable, sizeInWords } from './wording.js';

/** Its CommonJS form loads in half the time of the other. */
const PDFDocument = createRequire(import.meta.url)('pdfkit') as typeof PdfKit;

const MAKER = 'stencilwright';
const NO_DATE = new Date(0);

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

function blankPdf({ widthMm, heightMm }: Page, name: string): Pdf {
  const pdf = new PDFDocument({
    size: [widthMm * POINTS_PER_MM, heightMm * POINTS_PER_MM],
    margin: 0,
    displayTitle: true,
    // The file's identifier is made from these; a fixed date keeps it the same from run to run.
    info: { Title: name, Creator: MAKER, Producer: MAKER, CreationDate: NO_DATE },
  });
  // Kept for the library, which reads it, but out of the list of what is written.
  Object.defineProperty(pdf.info, 'CreationDate', { value: NO_DATE, enumerable: false });
  askForTrueScale(pdf);
  return pdf;
}

/**
 * Viewer preference PrintScaling None, of PDF 1.6 (ISO 32000-1, table 150), for which the library has no option.
 * It writes a 1.3 file, so that the catalog has to raise the version (ISO 32000-1, 7.2.2).
 */
function askForTrueScale(pdf: Pdf): void {
  const { data: catalog } = (pdf as unknown as { readonly _root: { readonly data: Catalog } })
    ._root;
  catalog.ViewerPreferences.data.PrintScaling = 'None';
  catalog.Version = '1.7';
}

interface Catalog {
  Version?: string;
  readonly ViewerPreferences: { readonly data: Record<string, unknown> };
}

async function collect(pdf: Pdf): Promise<Uint8Array> {
  const chunks: Uint8Array[] = [];
  for await (const chunk of pdf) chunks.push(chunk as Uint8Array);
  return Buffer.concat(chunks);
}

/** Draws in mm from a place on the page. */
function inMm(pdf: Pdf, { x, y }: Page['sheetAt'], draw: () => void): void {
  pdf.save().scale(POINTS_PER_MM).translate(x, y);
  draw();
  pdf.restore();
}

function drawOpenings(pdf: Pdf, openings: readonly Shape[]): void {
  if (openings.length === 0) return;
  drawShapes(openings, {
    move: (x, y) => pdf.moveTo(x, y),
    line: (x, y) => pdf.lineTo(x, y),
    curve: (x1, y1, x2, y2, x, y) => pdf.bezierCurveTo(x1, y1, x2, y2, x, y),
    close: () => pdf.closePath(),
  });
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

function drawSheetEdge(pdf: Pdf, { widthMm, heightMm }: Sheet): void {
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
