import type { Sheet } from '../../settings/card.js';
import type { Job } from '../../settings/job.js';
import type { Broken } from '../broken.js';
import { printed } from './text.js';
import { hasRoomForTicks, writeNotes, type Notes } from './notes.js';
import { pageFor, type PageLayout } from './page.js';
import { paperFor, paperSizes } from './paper.js';
import { BROKEN_INK, HAIRLINE_MM, drawInMm, POINTS_PER_MM, SOFT_INK, type Pdf } from './print.js';
import { drawTilePage } from './tile-page.js';
import { tilingOf } from './tiling.js';

/** What is drawn on a sheet, from its top left corner. */
export interface SheetDrawing {
  /** In mm. */
  readonly lines: (pdf: Pdf) => void;
  /** In points, for `write`, whose places are in mm all the same. */
  readonly letters: (pdf: Pdf) => void;
}

/** What is printed, and on what. */
export interface TrueSize {
  readonly title: string;
  readonly notes: Notes;
  readonly sheet: Sheet;
  readonly job: Pick<Job, 'paper' | 'margin' | 'tileOverlap'>;
  /** Chooses the paper where the job does not: "en-US", "de_DE.UTF-8". */
  readonly locale: string;
  /** Which promises the sheet does not keep; places as they are drawn here. */
  readonly broken?: Broken;
}

/** What of a line on a tile's edge lies outside of it, in mm: more than half of any line's width. */
const EDGE_LINE_MM = 0.2;
/** The line round a sheet, in mm: dashes and gaps as short as are still seen as such, so that none is taken for a cut. */
const [DASH_MM, DASH_GAP_MM] = [1.6, 1.2];
/** Ticks outside a sheet's corners, in mm from it: air, then 3 mm of tick. */
const [TICK_FROM_MM, TICK_TO_MM] = [1.5, 4.5];

/**
 * Prints a sheet at true size: on one page where it fits the paper, else in parts on several, which are trimmed and
 * laid over one another. Each page has bars to check its scale by.
 */
export async function printTrueSize(asked: TrueSize, plain: SheetDrawing): Promise<Uint8Array> {
  const print = withWarning(asked);
  const drawing = ringed(plain, asked.broken);
  const { title, sheet, job, locale, notes } = print;
  const paper = paperFor(job.paper, locale);
  const page = pageFor(sheet, job.margin, paper);
  if (job.paper === 'one-page' || isOfPaper(page, paperSizes[paper]))
    return onOnePage(page, print, drawing);
  const tiling = tilingOf(sheet, paperSizes[paper], job.tileOverlap);
  const { tileAt } = tiling;
  const size = [tiling.page.widthMm, tiling.page.heightMm].map((mm) => mm * POINTS_PER_MM);
  return printed(tiling.page, title, (pdf) =>
    tiling.tiles.forEach((tile, i) => {
      if (i > 0) pdf.addPage({ size: size as [number, number], margin: 0 });
      const { widthMm, heightMm } = tiling.tile;
      pdf.save();
      inClip(pdf, tileAt.x, tileAt.y, widthMm, heightMm);
      drawAt(pdf, { x: tileAt.x - tile.x, y: tileAt.y - tile.y }, sheet, drawing);
      pdf.restore();
      drawTilePage(pdf, tiling, tile, notes);
    }),
  );
}

/** With the promises that are broken told under the size. */
function withWarning(print: TrueSize): TrueSize {
  const { notes, broken } = print;
  return broken ? { ...print, notes: { ...notes, warning: `${broken.says}.` } } : print;
}

/** Rings where a promise is broken, in mm: as wide as a fingertip, so that each is seen, and their line. By eye. */
const RING_MM = 3.5;
const RING_LINE_MM = 0.4;

/** The drawing with a ring round each place where a promise is broken. */
function ringed(drawing: SheetDrawing, broken: Broken | undefined): SheetDrawing {
  if (!broken || broken.at.length === 0) return drawing;
  return {
    ...drawing,
    lines: (pdf) => {
      drawing.lines(pdf);
      for (const { x, y } of broken.at) pdf.circle(x, y, RING_MM);
      pdf.lineWidth(RING_LINE_MM).stroke(BROKEN_INK);
    },
  };
}

/** What is broken, with its places as seen from the back of a sheet. */
export function mirroredBroken(
  { broken }: { readonly broken?: Broken | undefined },
  { widthMm }: Sheet,
): { readonly broken?: Broken } {
  if (!broken) return {};
  return { broken: { ...broken, at: broken.at.map(({ x, y }) => ({ x: widthMm - x, y })) } };
}

function isOfPaper(page: Sheet, paper: Sheet): boolean {
  const sides = ({ widthMm, heightMm }: Sheet): number[] =>
    [widthMm, heightMm].sort((a, b) => a - b);
  const [short, long] = sides(paper);
  const [a, b] = sides(page);
  return Math.abs(a - short) < HAIRLINE_MM && Math.abs(b - long) < HAIRLINE_MM;
}

function onOnePage(
  page: PageLayout,
  { title, sheet, notes }: TrueSize,
  drawing: SheetDrawing,
): Promise<Uint8Array> {
  return printed(page, title, (pdf) => {
    drawAt(pdf, page.sheetAt, sheet, drawing);
    if (hasRoomForTicks(page)) drawInMm(pdf, page.sheetAt, () => drawTicks(pdf, sheet));
    writeNotes(pdf, page, notes);
  });
}

function drawAt(
  pdf: Pdf,
  at: PageLayout['sheetAt'],
  sheet: Sheet,
  { lines, letters }: SheetDrawing,
): void {
  drawInMm(pdf, at, () => {
    lines(pdf);
    drawSheetEdge(pdf, sheet);
  });
  pdf.save().translate(at.x * POINTS_PER_MM, at.y * POINTS_PER_MM);
  letters(pdf);
  pdf.restore();
}

function inClip(pdf: Pdf, x: number, y: number, widthMm: number, heightMm: number): void {
  const [left, top] = [x - EDGE_LINE_MM, y - EDGE_LINE_MM];
  const [w, h] = [widthMm + 2 * EDGE_LINE_MM, heightMm + 2 * EDGE_LINE_MM];
  pdf.rect(left * POINTS_PER_MM, top * POINTS_PER_MM, w * POINTS_PER_MM, h * POINTS_PER_MM).clip();
}

function drawSheetEdge(pdf: Pdf, { widthMm, heightMm }: Sheet): void {
  pdf
    .rect(0, 0, widthMm, heightMm)
    .lineWidth(HAIRLINE_MM)
    .dash(DASH_MM, { space: DASH_GAP_MM })
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
      pdf.moveTo(x + right * TICK_FROM_MM, y).lineTo(x + right * TICK_TO_MM, y);
      pdf.moveTo(x, y + down * TICK_FROM_MM).lineTo(x, y + down * TICK_TO_MM);
    }
  }
  pdf.lineWidth(HAIRLINE_MM).stroke(SOFT_INK);
}
