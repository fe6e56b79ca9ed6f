import { visible } from '../../settings/words/visible.js';
import { createRequire } from 'node:module';
import type PdfKit from 'pdfkit';
import { MM_PER_INCH, type Sheet } from '../../settings/card.js';
import type { Point, Shape } from '../../geometry/shape.js';
import { drawShapes } from '../pen.js';

/** What is common to everything that is drawn on the printed page. */
export type Pdf = PDFKit.PDFDocument;

/** A PDF's unit is 1/72 in: ISO 32000-1, 8.3.2.3. */
export const POINTS_PER_MM = 72 / MM_PER_INCH;

/** The line to cut along, in mm: three dots of a printer of 300 dots an inch, and still narrower than any tip's cut. */
export const LINE_MM = 0.25;
/** Lines that help and are not cut, and those to trim along, in mm: two such dots, so that none goes missing. */
export const HAIRLINE_MM = 0.15;

export const INK = '#1c1c1e';
export const SOFT_INK = '#6b6b70';
/** What helps and is not cut. */
export const HELP = '#2a6db0';
/** Where a promise is broken. */
export const BROKEN_INK = '#b3261e';

/** Its CommonJS form loads in half the time of the other. */
const PDFDocument = createRequire(import.meta.url)('pdfkit') as typeof PdfKit;

const MAKER = 'stencilwright';
const NO_DATE = new Date(0);

/**
 * A document whose first page has a size. The same drawing gives the same bytes: no date is in it.
 *
 * @param title what a reader shows above it
 */
export function blankPdf({ widthMm, heightMm }: Sheet, title: string): Pdf {
  const pdf = new PDFDocument({
    size: [widthMm * POINTS_PER_MM, heightMm * POINTS_PER_MM],
    margin: 0,
    displayTitle: true,
    // The file's identifier is made from these; a fixed date keeps it the same from run to run.
    info: { Title: visible(title), Creator: MAKER, Producer: MAKER, CreationDate: NO_DATE },
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

/** All that is written until `end`; called before the first thing is drawn. */
export async function collect(pdf: Pdf): Promise<Uint8Array> {
  const chunks: Uint8Array[] = [];
  for await (const chunk of pdf) chunks.push(chunk as Uint8Array);
  return Buffer.concat(chunks);
}

/** Draws in mm from a place on the page. */
export function drawInMm(pdf: Pdf, { x, y }: Point, draw: () => void): void {
  pdf.save().scale(POINTS_PER_MM).translate(x, y);
  draw();
  pdf.restore();
}

/** Draws the outlines of shapes as the document's path, in mm; what becomes of it is the caller's. */
export function pathOfShapes(pdf: Pdf, shapes: readonly Shape[]): void {
  drawShapes(shapes, {
    move: (x, y) => pdf.moveTo(x, y),
    line: (x, y) => pdf.lineTo(x, y),
    curve: (x1, y1, x2, y2, x, y) => pdf.bezierCurveTo(x1, y1, x2, y2, x, y),
    close: () => pdf.closePath(),
  });
}
