import type { Sheet } from '../../settings/card.js';
import { paperSizes, type Paper } from './paper.js';

/** A strip that is free for text; in mm, in the text's own frame (see `Page.turned`). */
interface Band {
  readonly y: number;
  readonly heightMm: number;
}

/** Where things stand on the template's one page, in mm from its top left corner. */
export interface PageLayout {
  readonly widthMm: number;
  readonly heightMm: number;
  /** The sheet's top left corner. */
  readonly sheetAt: { readonly x: number; readonly y: number };
  /** Free for text above and below the drawing. */
  readonly head: Band;
  readonly foot: Band;
  /** The text runs up the page: `head` lies along the left edge and `foot` along the right one. */
  readonly turned: boolean;
}

/**
 * What most home printers leave white along a paper's edge, in mm. Common practice, from memory, no published source.
 */
const UNPRINTED_MM = 5;
/** What the text wants at the least, in mm: two small lines below the drawing, one above. */
const LOWEST_BAND_MM = 7;
/** The two bars beside each other with their labels, and the cautions in one line, in mm. */
const TEXT_WIDTH_MM = 186;
/**
 * Added above and below where there is no room else, in mm: what heading and foot take in large type, and the white
 * edge.
 */
const HEAD_STRIP_MM = 26;
const FOOT_STRIP_MM = 46;
/** Papers given in inches are not exact in mm; so little is not measured on paper. */
const TOLERANCE_MM = 0.01;

/**
 * The page for a sheet, always at true size: the paper upright or on its side where the sheet fits it, else a
 * page of the sheet's own size.
 *
 * The text stands beside the sheet or, where that leaves no room, inside the film's margin, upright or turned.
 * A sheet with no room for it at all gets a page of its own size with a strip added above and below (and wider,
 * where the sheet is narrower than the text).
 *
 * @param marginMm the frame of film in which nothing is cut
 */
export function pageFor(sheet: Sheet, marginMm: number, paper: Paper): PageLayout {
  const upright = paperSizes[paper];
  const papers = [upright, transposed(upright)].filter((page) => fitsOn(sheet, page));
  return (
    firstWithText(sheet, papers, besideSheet) ??
    firstWithText(sheet, papers.length > 0 ? papers : [sheet], (from) =>
      insideMargin(from, marginMm),
    ) ??
    withStrips(sheet)
  );
}

/** The free strip at the top of a page, for a sheet in the page's middle. */
type FreeBand = (on: { readonly sheet: Sheet; readonly page: Sheet }) => Band | undefined;

function firstWithText(
  sheet: Sheet,
  pages: readonly Sheet[],
  free: FreeBand,
): PageLayout | undefined {
  for (const turned of [false, true]) {
    for (const page of pages) {
      const frame = turned ? transposed(page) : page;
      const head = free({ sheet: turned ? transposed(sheet) : sheet, page: frame });
      if (!head || head.heightMm < LOWEST_BAND_MM - TOLERANCE_MM) continue;
      if (frame.widthMm < TEXT_WIDTH_MM) continue;
      const foot = { ...head, y: frame.heightMm - head.y - head.heightMm };
      return { ...page, sheetAt: centred(sheet, page), head, foot, turned };
    }
  }
  return undefined;
}

const besideSheet: FreeBand = ({ sheet, page }) => ({
  y: UNPRINTED_MM,
  heightMm: centred(sheet, page).y - UNPRINTED_MM,
});

function insideMargin(
  { sheet, page }: Parameters<FreeBand>[0],
  marginMm: number,
): Band | undefined {
  if (sheet.widthMm < TEXT_WIDTH_MM) return undefined;
  const top = centred(sheet, page).y;
  const y = Math.max(top, UNPRINTED_MM);
  return { y, heightMm: top + marginMm - y };
}

function withStrips(sheet: Sheet): PageLayout {
  const widthMm = Math.max(sheet.widthMm, TEXT_WIDTH_MM);
  return {
    widthMm,
    heightMm: HEAD_STRIP_MM + sheet.heightMm + FOOT_STRIP_MM,
    sheetAt: { x: (widthMm - sheet.widthMm) / 2, y: HEAD_STRIP_MM },
    head: { y: UNPRINTED_MM, heightMm: HEAD_STRIP_MM - UNPRINTED_MM },
    foot: { y: HEAD_STRIP_MM + sheet.heightMm, heightMm: FOOT_STRIP_MM - UNPRINTED_MM },
    turned: false,
  };
}

function fitsOn(sheet: Sheet, page: Sheet): boolean {
  return (
    sheet.widthMm <= page.widthMm + TOLERANCE_MM && sheet.heightMm <= page.heightMm + TOLERANCE_MM
  );
}

function centred(sheet: Sheet, page: Sheet): { readonly x: number; readonly y: number } {
  return {
    x: Math.max(0, (page.widthMm - sheet.widthMm) / 2),
    y: Math.max(0, (page.heightMm - sheet.heightMm) / 2),
  };
}

function transposed({ widthMm, heightMm }: Sheet): Sheet {
  return { widthMm: heightMm, heightMm: widthMm };
}
