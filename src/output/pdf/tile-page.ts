import { drawBar, IMPERIAL, METRIC } from './check-bar.js';
import { BOLD, write } from './lettering.js';
import { CAUTIONS, MEASURE, type Notes } from './notes.js';
import { HAIRLINE_MM, HELP, INK, inMm, POINTS_PER_MM, SOFT_INK, type Pdf } from './print.js';
import type { Tile, Tiling } from './tiles.js';

/** From the edge of the page to the text, in mm: twice what most printers leave white. */
const EDGE_MM = 10;
/**
 * Trim marks, in mm: a gap, so that a knife a little off leaves no ink on the part, then the mark. Common practice, no
 * source.
 */
const MARK_GAP_MM = 1;
const MARK_MM = 3.5;
const MAP_MM = { widthMm: 22, heightMm: 17 };
/** Points: captions stand between the marks, and are read from near by. */
const CAPTION_POINTS = 6;

/** Draws all that a tile's page has besides the sheet: heading, trim marks, meeting lines, bars, map and cautions. */
export function drawTilePage(pdf: Pdf, tiling: Tiling, tile: Tile, notes: Notes): void {
  drawMarks(pdf, tiling, tile);
  writeHead(pdf, tiling, tile, notes);
  writeFoot(pdf, tiling, tile, notes.marks);
}

function writeHead(pdf: Pdf, { page, tiles }: Tiling, tile: Tile, { name, size }: Notes): void {
  const widestMm = (page.widthMm - 2 * EDGE_MM) / 2;
  const which = `page ${tiles.indexOf(tile) + 1} of ${tiles.length}: ${tile.label}`;
  const line = { x: EDGE_MM, align: 'left', widestMm } as const;
  write(pdf, {
    ...line,
    widestMm: page.widthMm - 2 * EDGE_MM,
    text: `${name}, ${which}`,
    baseline: 7.6,
    points: 10,
    font: BOLD,
  });
  write(pdf, { ...line, text: size, baseline: 11.6, points: 7.5, colour: SOFT_INK });
  write(pdf, {
    ...line,
    x: page.widthMm / 2 + 6,
    widestMm: page.widthMm / 2 - 6 - EDGE_MM,
    text: howToJoin(tile),
    baseline: 11.6,
    points: 7.5,
    colour: SOFT_INK,
  });
}

function howToJoin({ row, column }: Tile): string {
  if (row === 0 && column === 0) return 'Leave this page whole; the next ones are laid over it.';
  const edges = [row > 0 && 'top', column > 0 && 'left'].filter((edge) => edge !== false);
  return `Trim along the ${edges.join(' and ')} marks, lay over the meeting line, tape.`;
}

/** Ticks outside the tile's corners, the edges to trim, and where the next pages' trimmed edges come to lie. */
function drawMarks(pdf: Pdf, tiling: Tiling, tile: Tile): void {
  const { tileAt, rows, columns, overlapMm, tiles } = tiling;
  const { widthMm, heightMm } = tiling.tile;
  inMm(pdf, tileAt, () => {
    for (const x of [0, widthMm]) {
      for (const y of [0, heightMm]) {
        const [right, down] = [x === 0 ? -1 : 1, y === 0 ? -1 : 1];
        pdf.moveTo(x + right * MARK_GAP_MM, y).lineTo(x + right * (MARK_GAP_MM + MARK_MM), y);
        pdf.moveTo(x, y + down * MARK_GAP_MM).lineTo(x, y + down * (MARK_GAP_MM + MARK_MM));
      }
    }
    pdf.lineWidth(HAIRLINE_MM).stroke(INK);
    const [meetX, meetY] = [widthMm - overlapMm, heightMm - overlapMm];
    if (tile.column > 0) pdf.moveTo(0, 0).lineTo(0, heightMm);
    if (tile.row > 0) pdf.moveTo(0, 0).lineTo(widthMm, 0);
    if (tile.column + 1 < columns) pdf.moveTo(meetX, 0).lineTo(meetX, heightMm);
    if (tile.row + 1 < rows) pdf.moveTo(0, meetY).lineTo(widthMm, meetY);
    // A tiling has two parts at least, and each meets another.
    pdf.dash(2.4, { space: 1.6 }).stroke(HELP).undash();
  });
  const at = { x: tileAt.x, y: tileAt.y };
  const caption = { points: CAPTION_POINTS, colour: HELP } as const;
  if (tile.column + 1 < columns) {
    const text = `${tiles[tile.row * columns + tile.column + 1].label} meets here`;
    write(pdf, { ...caption, text, x: at.x + widthMm - overlapMm, baseline: at.y - 1.6 });
  }
  if (tile.row + 1 < rows) {
    const text = `${tiles[(tile.row + 1) * columns + tile.column].label} meets here`;
    const baseline = at.y + heightMm - overlapMm - 0.8;
    write(pdf, { ...caption, text, x: at.x + 1, baseline, align: 'left' });
  }
  if (tile.column > 0) write(pdf, { ...caption, text: 'trim', x: at.x, baseline: at.y - 5 });
  if (tile.row > 0)
    write(pdf, { ...caption, text: 'trim', x: at.x - MARK_MM - 3.5, baseline: at.y + 0.7 });
}

function writeFoot(pdf: Pdf, tiling: Tiling, tile: Tile, marks?: string): void {
  const { page } = tiling;
  const top = page.heightMm - 27;
  drawMap(pdf, tiling, tile, top);
  const left = EDGE_MM + MAP_MM.widthMm + 6;
  let x = left;
  for (const bar of [METRIC, IMPERIAL]) {
    drawBar(pdf, bar, x, top + 3.6);
    write(pdf, {
      text: bar.label,
      x: x + bar.lengthMm / 2,
      baseline: top + 7,
      points: 7.5,
    });
    x += bar.lengthMm + 10;
  }
  const widestMm = page.widthMm - left - EDGE_MM;
  const line = { x: left, align: 'left', widestMm, colour: SOFT_INK } as const;
  write(pdf, { ...line, text: MEASURE, baseline: top + 12, points: 7.5 });
  const half = CAUTIONS.indexOf('. ', CAUTIONS.length / 2 - 10) + 1;
  const cautions = [CAUTIONS.slice(0, half), CAUTIONS.slice(half + 1)];
  cautions.forEach((text, i) =>
    write(pdf, { ...line, text, baseline: top + 15.6 + 2.8 * i, points: 6.5 }),
  );
  if (marks !== undefined) write(pdf, { ...line, text: marks, baseline: top + 21.4, points: 6.5 });
}

/** The pages as they lie side by side, this one dark. */
function drawMap(
  pdf: Pdf,
  { rows, columns, tile: { widthMm, heightMm }, tiles }: Tiling,
  tile: Tile,
  top: number,
): void {
  const scale = Math.min(MAP_MM.widthMm / (columns * widthMm), MAP_MM.heightMm / (rows * heightMm));
  const [w, h] = [scale * widthMm, scale * heightMm];
  inMm(pdf, { x: EDGE_MM, y: top }, () => {
    for (const { row, column } of tiles) pdf.rect(column * w, row * h, w, h);
    pdf.lineWidth(HAIRLINE_MM).stroke(SOFT_INK);
    pdf.rect(tile.column * w, tile.row * h, w, h).fill(SOFT_INK);
  });
  const points = Math.min(7, h * 0.5 * POINTS_PER_MM, w * 0.4 * POINTS_PER_MM);
  if (points < 3) return;
  for (const { label, row, column } of tiles) {
    const isThis = row === tile.row && column === tile.column;
    write(pdf, {
      text: label,
      x: EDGE_MM + (column + 0.5) * w,
      baseline: top + (row + 0.5) * h + points * 0.12,
      points,
      colour: isThis ? '#ffffff' : SOFT_INK,
    });
  }
}
