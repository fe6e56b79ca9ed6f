import { drawBar, IMPERIAL, METRIC } from './check-bar.js';
import { BOLD, widthMm, write } from './text.js';
import { CAUTIONS, MEASURE, type Notes } from './notes.js';
import {
  BROKEN_INK,
  HAIRLINE_MM,
  HELP,
  INK,
  drawInMm,
  POINTS_PER_MM,
  SOFT_INK,
  type Pdf,
} from './print.js';
import type { Tile, Tiling } from './tiling.js';

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
/** Dashes and gaps of a meeting line, in mm: longer than those round a sheet, to be told from them. */
const [DASH_MM, DASH_GAP_MM] = [2.4, 1.6];
/**
 * Where captions stand, in mm: above a tile, above a meeting line and in from its end, above a trim mark, and left of one,
 * whose line goes on through the middle of their letters. By eye.
 */
const CAPTION = {
  aboveTile: 1.6,
  aboveLine: 0.8,
  fromEdge: 1,
  aboveMark: 5,
  leftOfMark: 3.5,
  down: 0.7,
};
/**
 * The head from the paper's edge down, and the foot from its own top, which is so far up from the paper's lower edge:
 * baselines in mm, type in points. How to join begins right of the page's middle; a gap before a warning. By eye.
 */
const HEAD = {
  title: { y: 7.6, points: 10 },
  line: { y: 11.6, points: 7.5 },
  joinMm: 6,
  gapMm: 3,
};
const FOOT = {
  upMm: 27,
  leftMm: 6,
  bar: { y: 3.6, gapMm: 10 },
  label: { y: 7, points: 7.5 },
  measure: { y: 12, points: 7.5 },
  cautions: { y: 15.6, lineMm: 2.8, points: 6.5 },
  marks: { y: 21.4, points: 6.5 },
};
/** The cautions are two lines: the first ends with the sentence whose end comes next after so many letters before half. */
const BEFORE_HALF = 10;
/**
 * Labels on the map: at most so many points, and none smaller than can be read; the most as shares of their page's height
 * and width there; and how far below its middle their baseline lies, in mm for each point. By eye.
 */
const LABEL = { most: 7, least: 3, ofHeight: 0.5, ofWidth: 0.4, drop: 0.12 };

/** Draws all that a tile's page has besides the sheet: heading, trim marks, meeting lines, bars, map and cautions. */
export function drawTilePage(pdf: Pdf, tiling: Tiling, tile: Tile, notes: Notes): void {
  drawMarks(pdf, tiling, tile);
  writeHead(pdf, tiling, tile, notes);
  writeFoot(pdf, tiling, tile, notes);
}

function writeHead(
  pdf: Pdf,
  { page, tiles }: Tiling,
  tile: Tile,
  { name, size, warning }: Notes,
): void {
  const left = { x: EDGE_MM, align: 'left' } as const;
  const atRight = {
    ...left,
    x: page.widthMm / 2 + HEAD.joinMm,
    widestMm: page.widthMm / 2 - HEAD.joinMm - EDGE_MM,
  };
  const [whole, half] = [page.widthMm - 2 * EDGE_MM, page.widthMm / 2 - EDGE_MM];
  const which = `page ${tiles.indexOf(tile) + 1} of ${tiles.length}: ${tile.label}`;
  write(pdf, {
    ...left,
    widestMm: warning === undefined ? whole : half,
    text: `${name}, ${which}`,
    baseline: HEAD.title.y,
    points: HEAD.title.points,
    font: BOLD,
  });
  const small = { points: HEAD.line.points, colour: SOFT_INK };
  const second = { ...small, baseline: HEAD.line.y };
  write(pdf, { ...left, ...second, widestMm: half, text: size });
  const join = { ...atRight, text: howToJoin(tile) };
  if (warning === undefined) return write(pdf, { ...join, ...second });
  // What is to be looked at first has the rest of its line; how to join goes beside the title.
  write(pdf, { ...join, ...small, baseline: HEAD.title.y });
  const taken = widthMm(pdf, { text: size, points: small.points }) + HEAD.gapMm;
  const rest = { x: EDGE_MM + taken, widestMm: whole - taken };
  write(pdf, { ...left, ...second, ...rest, text: warning, colour: BROKEN_INK });
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
  drawInMm(pdf, tileAt, () => {
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
    pdf.dash(DASH_MM, { space: DASH_GAP_MM }).stroke(HELP).undash();
  });
  const at = { x: tileAt.x, y: tileAt.y };
  const caption = { points: CAPTION_POINTS, colour: HELP } as const;
  if (tile.column + 1 < columns) {
    const text = `${tiles[tile.row * columns + tile.column + 1].label} meets here`;
    const baseline = at.y - CAPTION.aboveTile;
    write(pdf, { ...caption, text, x: at.x + widthMm - overlapMm, baseline });
  }
  if (tile.row + 1 < rows) {
    const text = `${tiles[(tile.row + 1) * columns + tile.column].label} meets here`;
    const baseline = at.y + heightMm - overlapMm - CAPTION.aboveLine;
    write(pdf, { ...caption, text, x: at.x + CAPTION.fromEdge, baseline, align: 'left' });
  }
  if (tile.column > 0)
    write(pdf, { ...caption, text: 'trim', x: at.x, baseline: at.y - CAPTION.aboveMark });
  if (tile.row > 0) {
    const x = at.x - MARK_MM - CAPTION.leftOfMark;
    write(pdf, { ...caption, text: 'trim', x, baseline: at.y + CAPTION.down });
  }
}

function writeFoot(
  pdf: Pdf,
  tiling: Tiling,
  tile: Tile,
  { marks, cautions: told = CAUTIONS }: Notes,
): void {
  const { page } = tiling;
  const top = page.heightMm - FOOT.upMm;
  drawMap(pdf, tiling, tile, top);
  const left = EDGE_MM + MAP_MM.widthMm + FOOT.leftMm;
  let x = left;
  for (const bar of [METRIC, IMPERIAL]) {
    drawBar(pdf, bar, x, top + FOOT.bar.y);
    write(pdf, {
      text: bar.label,
      x: x + bar.lengthMm / 2,
      baseline: top + FOOT.label.y,
      points: FOOT.label.points,
    });
    x += bar.lengthMm + FOOT.bar.gapMm;
  }
  const widestMm = page.widthMm - left - EDGE_MM;
  const line = { x: left, align: 'left', widestMm, colour: SOFT_INK } as const;
  const { measure, cautions, marks: last } = FOOT;
  write(pdf, { ...line, text: MEASURE, baseline: top + measure.y, points: measure.points });
  const half = told.indexOf('. ', told.length / 2 - BEFORE_HALF) + 1;
  [told.slice(0, half), told.slice(half + 1)].forEach((text, i) => {
    const baseline = top + cautions.y + cautions.lineMm * i;
    write(pdf, { ...line, text, baseline, points: cautions.points });
  });
  if (marks !== undefined)
    write(pdf, { ...line, text: marks, baseline: top + last.y, points: last.points });
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
  drawInMm(pdf, { x: EDGE_MM, y: top }, () => {
    for (const { row, column } of tiles) pdf.rect(column * w, row * h, w, h);
    pdf.lineWidth(HAIRLINE_MM).stroke(SOFT_INK);
    pdf.rect(tile.column * w, tile.row * h, w, h).fill(SOFT_INK);
  });
  const points = Math.min(
    LABEL.most,
    h * LABEL.ofHeight * POINTS_PER_MM,
    w * LABEL.ofWidth * POINTS_PER_MM,
  );
  if (points < LABEL.least) return;
  for (const { label, row, column } of tiles) {
    const isThis = row === tile.row && column === tile.column;
    write(pdf, {
      text: label,
      x: EDGE_MM + (column + 0.5) * w,
      baseline: top + (row + 0.5) * h + points * LABEL.drop,
      points,
      colour: isThis ? '#ffffff' : SOFT_INK,
    });
  }
}
