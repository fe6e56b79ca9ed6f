import type { Sheet } from '../card.js';
import type { Card, Film, FilmSheet } from '../film.js';
import type { Job } from '../job.js';
import { drawOpenings } from './guide.js';
import { write } from './lettering.js';
import { shapePath } from './path-data.js';
import { roundMm } from './pen.js';
import { HELP, type Pdf } from './print.js';
import { printTrueSize } from './true-size.js';
import { printable, sizeInWords } from './wording.js';

const MARKS =
  'Dark: cut. Dot: stop and turn. Crossing lines: cut a little past the corner. Blue: where the stencils part, with scissors or a knife, last of all.';

const POINTS_PER_NAME = 7;
/** From a card's corner to its name, in the margin that no stencil cuts. */
const NAME_X_MM = 2;
const NAME_Y_MM = 3.6;
const CARD_LINE_MM = 0.2;

/** Which of the sheets it is. */
interface Place {
  readonly number: number;
  readonly count: number;
}

/**
 * The true-size print of one sheet of film: what to cut, where the stencils part, and their names. A sheet that is
 * larger than the paper is printed in parts.
 */
export async function filmPdf(
  sheet: FilmSheet,
  film: Sheet,
  { number, count }: Place,
  { job, locale }: { readonly job: Pick<Job, 'paper' | 'tileOverlap'>; readonly locale: string },
): Promise<Uint8Array> {
  const title = count === 1 ? 'Film' : `Film ${number} of ${count}`;
  const notes = { name: title, size: `${sizeInWords(film)}, ${fullness(sheet)}`, marks: MARKS };
  const print = { title, notes, sheet: film, job: { ...job, margin: 0 }, locale };
  return printTrueSize(print, {
    lines: (pdf) => {
      drawOpenings(pdf, sheet.openings);
      for (const { x, y, widthMm, heightMm } of sheet.cards) pdf.rect(x, y, widthMm, heightMm);
      pdf.lineWidth(CARD_LINE_MM).stroke(HELP);
    },
    letters: (pdf) => {
      for (const card of sheet.cards) writeName(pdf, card);
    },
  });
}

function writeName(pdf: Pdf, { name, x, y, widthMm, turned }: Card): void {
  const text = printable(name, 'Stencil') + (turned ? ', turned' : '');
  write(pdf, {
    text,
    x: x + NAME_X_MM,
    baseline: y + NAME_Y_MM,
    points: POINTS_PER_NAME,
    colour: HELP,
    align: 'left',
    widestMm: widthMm - 2 * NAME_X_MM,
  });
}

const fullness = ({ full }: FilmSheet): string => `${Math.round(100 * full)} % full`;

/** One sheet of film for other programs, in mm: `#openings`, the film's edge `#sheet`, the stencils' edges `#cards`. */
export function filmSvg({ openings, cards }: FilmSheet, film: Sheet): string {
  const [width, height] = [roundMm(film.widthMm), roundMm(film.heightMm)];
  const edges = cards.map(
    (card) =>
      `<rect x="${roundMm(card.x)}" y="${roundMm(card.y)}" width="${roundMm(card.widthMm)}" height="${roundMm(card.heightMm)}"/>`,
  );
  return `<?xml version="1.0" encoding="UTF-8"?>
<svg xmlns="http://www.w3.org/2000/svg" width="${width}mm" height="${height}mm" viewBox="0 0 ${width} ${height}">
<rect id="sheet" x="0" y="0" width="${width}" height="${height}" fill="none" stroke="#9aa0a6" stroke-width="0.1"/>
<g id="cards" fill="none" stroke="#9aa0a6" stroke-width="0.1">
${edges.join('\n')}
</g>
<path id="openings" fill="#1d1d1f" fill-rule="evenodd" d="${shapePath(openings)}"/>
</svg>
`;
}

/** Where everything lies, as JSON: lengths in mm, shares of the film from 0 to 1. */
export function filmJson({ film, gapMm, sheets, areaBound }: Film): string {
  const report = {
    film: { widthMm: roundMm(film.widthMm), heightMm: roundMm(film.heightMm) },
    gapMm,
    areaBound,
    sheets: sheets.map(({ cards, full }, i) => ({
      file: `sheet-${i + 1}.svg`,
      full: roundMm(full),
      stencils: cards.map(({ name, x, y, widthMm, heightMm, turned }) => ({
        name,
        x: roundMm(x),
        y: roundMm(y),
        widthMm: roundMm(widthMm),
        heightMm: roundMm(heightMm),
        turned,
      })),
    })),
  };
  return `${JSON.stringify(report, null, 2)}\n`;
}
