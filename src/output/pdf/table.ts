import type { Sheet } from '../../settings/card.js';
import { POINTS_PER_MM, SOFT_INK, INK, type Pdf } from './print.js';
import { EDGE_MM } from './prose.js';
import { BOLD, REGULAR, widthMm, write } from './text.js';

/** A list in rows, which goes on in blocks side by side and on as many pages as it takes. */
export interface PdfTable<Row> {
  readonly columns: readonly string[];
  /**
   * By column, how far from the block's left, in mm, its texts end; a column beyond these begins at `lastColumnMm`, where
   * there is one.
   */
  readonly columnEnds: readonly number[];
  readonly lastColumnMm?: number;
  /** The block's width with its gap to the next one, and that gap, in mm. */
  readonly blockMm: number;
  readonly blockGapMm: number;
  readonly cellsOf: (row: Row) => readonly string[];
}

/** From row to row, in mm; and the rows' type, in points: 1.45 times the type (8 pt are 2.8 mm). Common practice, no source. */
const ROW_MM = 4.1;
const ROW_POINTS = 8;
/** Kept free at the foot of a page, in mm: the edge that printers leave white, and air. */
const BOTTOM_MM = 14;
/** The fewest rows that begin a list on a page, and where it goes on on the next one, in mm. By eye. */
const FEWEST_ROWS = 3;
const TOP_MM = 22;

/** Writes a table from `firstTop` on, in mm from the page's upper edge. */
export function writeTable<Row>(
  pdf: Pdf,
  page: Sheet,
  rows: readonly Row[],
  firstTop: number,
  table: PdfTable<Row>,
): void {
  const { blockMm, blockGapMm, columns, cellsOf } = table;
  const blocks = Math.floor((page.widthMm - 2 * EDGE_MM + blockGapMm) / blockMm);
  let top = firstTop;
  let next = 0;
  while (next < rows.length) {
    const most = Math.floor((page.heightMm - BOTTOM_MM - top - 2 * ROW_MM) / ROW_MM);
    if (most < FEWEST_ROWS) {
      pdf.addPage({
        size: [page.widthMm * POINTS_PER_MM, page.heightMm * POINTS_PER_MM],
        margin: 0,
      });
      top = TOP_MM;
      continue;
    }
    const here = Math.min(most, Math.ceil((rows.length - next) / blocks));
    for (let block = 0; block < blocks && next < rows.length; block++) {
      const left = EDGE_MM + block * blockMm;
      writeRow(pdf, left, top, columns, SOFT_INK, table);
      rows.slice(next, next + here).forEach((row, i) => {
        writeRow(pdf, left, top + (i + 1) * ROW_MM, cellsOf(row), INK, table);
      });
      next += here;
    }
    top = Infinity;
  }
}

function writeRow(
  pdf: Pdf,
  left: number,
  baseline: number,
  cells: readonly string[],
  colour: string,
  { columnEnds, lastColumnMm = 0 }: Pick<PdfTable<never>, 'columnEnds' | 'lastColumnMm'>,
): void {
  cells.forEach((text, i) => {
    const style = { text, points: ROW_POINTS, font: i === 0 ? BOLD : REGULAR };
    const x = i < columnEnds.length ? columnEnds[i] - widthMm(pdf, style) : lastColumnMm;
    write(pdf, { ...style, x: left + x, baseline, colour, align: 'left' });
  });
}

/** Numbers in a row, and how many more there are than `most`. */
export function numbersInARow(numbers: readonly number[], most: number): string {
  const shown = numbers.slice(0, most).join(', ');
  const more = numbers.length - most;
  return more > 0 ? `${shown} and ${more} more` : shown;
}

/** A number to a tenth, without zeros behind. */
export const toTenths = (value: number): string => String(Math.round(value * 10) / 10);
