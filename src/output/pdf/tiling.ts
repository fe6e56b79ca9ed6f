import type { Sheet } from '../../settings/card.js';

/** The part of a sheet that one page shows, in mm on the sheet. */
export interface Tile {
  /** "A1": the row by a letter, the column by a number. */
  readonly label: string;
  readonly row: number;
  readonly column: number;
  readonly x: number;
  readonly y: number;
}

/** A large sheet laid over several pages of paper. */
export interface Tiling {
  /** The paper as it is turned. */
  readonly page: Sheet;
  /** What each page shows. */
  readonly tile: Sheet;
  /** Where it stands on the page. */
  readonly tileAt: { readonly x: number; readonly y: number };
  readonly rows: number;
  readonly columns: number;
  readonly overlapMm: number;
  readonly tiles: readonly Tile[];
}

/**
 * Kept free round a tile, in mm: for what a printer can't reach, trim marks, the head line, and bars and map in the
 * foot.
 */
const TILE_HEAD_MM = 15;
const TILE_FOOT_MM = 33;
const SIDE_MM = 10;

/**
 * Lays a sheet over the fewest pages of a paper, all parts of one size, each reaching over into the next by the
 * overlap. The paper is upright where that takes no more pages.
 */
export function tilingOf(sheet: Sheet, paper: Sheet, overlapMm: number): Tiling {
  const lying: Sheet = { widthMm: paper.heightMm, heightMm: paper.widthMm };
  const [upright, turned] = [paper, lying].map((page) => laidOn(sheet, page, overlapMm));
  return turned.tiles.length < upright.tiles.length ? turned : upright;
}

function laidOn(sheet: Sheet, page: Sheet, overlapMm: number): Tiling {
  const widest = page.widthMm - 2 * SIDE_MM;
  const highest = page.heightMm - TILE_HEAD_MM - TILE_FOOT_MM;
  const columns = countFor(sheet.widthMm, widest, overlapMm);
  const rows = countFor(sheet.heightMm, highest, overlapMm);
  const tile = {
    widthMm: (sheet.widthMm + (columns - 1) * overlapMm) / columns,
    heightMm: (sheet.heightMm + (rows - 1) * overlapMm) / rows,
  };
  const tiles = Array.from({ length: rows * columns }, (_, i): Tile => {
    const [row, column] = [Math.floor(i / columns), i % columns];
    return {
      label: `${rowName(row)}${column + 1}`,
      row,
      column,
      x: column * (tile.widthMm - overlapMm),
      y: row * (tile.heightMm - overlapMm),
    };
  });
  const tileAt = {
    x: (page.widthMm - tile.widthMm) / 2,
    y: TILE_HEAD_MM + (highest - tile.heightMm) / 2,
  };
  return { page, tile, tileAt, rows, columns, overlapMm, tiles };
}

/** Sums of parts of an inch are not exact in binary: a sheet that fits must not take a page more for that. */
const ROUNDING_MM = 0.001;

function countFor(lengthMm: number, mostMm: number, overlapMm: number): number {
  return Math.max(1, Math.ceil((lengthMm - overlapMm - ROUNDING_MM) / (mostMm - overlapMm)));
}

/** A to Z, then AA and on. */
function rowName(row: number): string {
  const letter = String.fromCharCode(65 + (row % 26));
  return row < 26 ? letter : rowName(Math.floor(row / 26) - 1) + letter;
}
