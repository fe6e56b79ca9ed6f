import { boundsOf, type Bounds } from '../../geometry/bounding-box.js';
import type { Sheet } from '../../settings/card.js';
import type { Stencil } from '../../disk/stencil-file.js';
import type { Shape } from '../../geometry/shape.js';
import type { Job } from '../../settings/job.js';
import type { CutPlan } from '../../stages/plan/plan.js';
import { guideOf } from './guide.js';
import { widthMm, write } from './text.js';
import type { MadeFrom } from '../../disk/made-from.js';
import type { Reserved } from './numbering.js';
import { shapePath } from '../svg/path-data.js';
import { roundMm } from '../pen.js';
import { planPdf, type Planned } from './plan.js';
import { HELP, type Pdf } from './print.js';
import { printTrueSize } from './true-size.js';
import { printable, sizeInWords } from './wording.js';

/** One stencil on a sheet of film: its box, in mm from the film's top left corner. */
export interface Card {
  /** As it is written on the sheet. */
  readonly name: string;
  readonly x: number;
  readonly y: number;
  readonly widthMm: number;
  readonly heightMm: number;
  /** By a quarter, clockwise. */
  readonly turned: boolean;
}

/** One sheet of film with what is laid on it. */
export interface FilmSheet {
  readonly cards: readonly Card[];
  readonly openings: readonly Shape[];
  /** The share of the film that the stencils take, 0 to 1. */
  readonly full: number;
  /** The stencils that lie on it. */
  readonly stencils: readonly Stencil[];
}

/** Stencils laid on blank film. */
export interface FullSheets {
  readonly film: Sheet;
  readonly gapMm: number;
  readonly sheets: readonly FilmSheet[];
  /** No way to lay them takes fewer sheets than this. */
  readonly areaBound: number;
}

const MARKS =
  'Dark: cut. Dot: stop and turn. Crossing lines: cut past the corner. Blue: number, order; ring, begin and end; ticks, ruler; frame, where stencils part, last.';

/** Points: the smallest type that is read easily, to fit into the narrowest margin. Common practice, no source. */
const POINTS_PER_NAME = 7;
/**
 * From a card's corner to its name, in mm, in the margin that no stencil cuts; and the width of the line round a card.
 */
const NAME_X_MM = 2;
const NAME_Y_MM = 3.6;
const CARD_LINE_MM = 0.2;
/** Kept free of numbers, in mm: a line of names, and on both sides of where the stencils part. */
const NAME_LINE: Sheet = { widthMm: 0, heightMm: 3.4 };
const EDGE_FREE_MM = 0.8;
/** How far above its baseline the middle of a name lies, in mm, with what its letters have below. */
const NAME_RISE_MM = 1.2;

/** One sheet of laid film, and what is made of it. */
interface Sheeted {
  readonly sheet: FilmSheet;
  readonly film: Sheet;
  readonly plan: CutPlan;
  readonly place: SheetOrdinal;
  readonly locale: string;
}

/** Which of the sheets it is, and what the whole is called. */
interface SheetOrdinal {
  readonly number: number;
  readonly count: number;
  readonly name?: string;
}

/** The name that film has when nobody gives it one. */
const USUAL_NAME = 'film';

function sheetTitle({ number, count, name }: SheetOrdinal): string {
  const sheet = count === 1 ? 'Film' : `Film ${number} of ${count}`;
  return name === undefined || name === USUAL_NAME
    ? sheet
    : `${printable(name, 'Stencils')}: ${sheet}`;
}

/**
 * The true-size print of one sheet of film: what to cut, numbered in the order of cutting, where the stencils part, and
 * their names. A sheet that is larger than the paper is printed in parts.
 */
export async function filmPdf({
  sheet,
  film,
  plan,
  place,
  job,
  locale,
}: Sheeted & { readonly job: Pick<Job, 'paper' | 'tileOverlap'> }): Promise<Uint8Array> {
  const title = sheetTitle(place);
  const notes = { name: title, size: `${sizeInWords(film)}, ${fullness(sheet)}`, marks: MARKS };
  const print = { title, notes, sheet: film, job: { ...job, margin: 0 }, locale };
  const boxes = sheet.openings.map(drawnBounds);
  const guide = guideOf(sheet.openings, plan, film, sheet.cards.flatMap(keptFree));
  return printTrueSize(print, {
    lines: (pdf) => {
      guide.lines(pdf);
      for (const { x, y, widthMm, heightMm } of sheet.cards) pdf.rect(x, y, widthMm, heightMm);
      pdf.lineWidth(CARD_LINE_MM).stroke(HELP);
    },
    letters: (pdf) => {
      guide.letters(pdf);
      for (const card of sheet.cards) writeName(pdf, card, boxes);
    },
  });
}

/** The plan to cut one sheet of film by: one order for the pieces of all stencils on it. */
export async function filmPlanPdf({
  sheet,
  film,
  place,
  ...about
}: Sheeted & Pick<Planned, 'job'>): Promise<Uint8Array> {
  return planPdf({
    ...about,
    name: sheetTitle(place),
    sheet: film,
    openings: sheet.openings,
    cards: sheet.cards,
  });
}

/** Where no number may stand: on a stencil's name, and across its edge. */
function keptFree({ x, y, widthMm, heightMm }: Card): Reserved[] {
  const [middle, centre] = [x + widthMm / 2, y + heightMm / 2];
  const across = { widthMm: widthMm + EDGE_FREE_MM, heightMm: EDGE_FREE_MM };
  const down = { widthMm: EDGE_FREE_MM, heightMm: heightMm + EDGE_FREE_MM };
  return [
    { x: middle, y: y + NAME_Y_MM - NAME_RISE_MM, box: { ...NAME_LINE, widthMm } },
    { x: middle, y, box: across },
    { x: middle, y: y + heightMm, box: across },
    { x, y: centre, box: down },
    { x: x + widthMm, y: centre, box: down },
  ];
}

/** In the margin at the card's top left, or beside what is cut there: register marks, and what runs into the margin. */
function writeName(pdf: Pdf, card: Card, boxes: readonly Bounds[]): void {
  const { name, turned } = card;
  const look = { text: printable(name, 'Stencil') + (turned ? ', turned' : ''), points: POINTS_PER_NAME }; // prettier-ignore
  const { x, widestMm } = roomForName(card, boxes, widthMm(pdf, look));
  const baseline = card.y + NAME_Y_MM;
  write(pdf, { ...look, x, baseline, colour: HELP, align: 'left', widestMm });
}

/**
 * What is drawn at an opening, in mm: itself, the ring where its cut begins, and the cuts that cross at its corners
 * (0.8 mm).
 */
const ROUND_OPENING_MM = 1;

function drawnBounds({ outer: { coords } }: Shape): Bounds {
  const { left, top, right, bottom } = boundsOf(coords);
  return {
    left: left - ROUND_OPENING_MM,
    right: right + ROUND_OPENING_MM,
    top: top - ROUND_OPENING_MM,
    bottom: bottom + ROUND_OPENING_MM,
  };
}

/** Where a name of a length fits into its line clear of all openings; over them where it fits nowhere. */
function roomForName(
  { x, y, widthMm: wide }: Card,
  boxes: readonly Bounds[],
  length: number,
): { readonly x: number; readonly widestMm: number } {
  const [from, to] = [x + NAME_X_MM, x + wide - NAME_X_MM];
  const inLine = boxes
    .filter(({ top, bottom }) => top < y + NAME_Y_MM && bottom > y + NAME_Y_MM - NAME_LINE.heightMm)
    .filter(({ left, right }) => left < to && right > from)
    .sort((a, b) => a.left - b.left);
  let start = from;
  for (const { left, right } of inLine) {
    if (left - start >= Math.min(length, to - start)) break;
    start = Math.max(start, right);
  }
  const widestMm = Math.min(to, ...inLine.map(({ left }) => left).filter((left) => left > start)) - start; // prettier-ignore
  return widestMm >= Math.min(length, LEAST_NAME_MM)
    ? { x: start, widestMm }
    : { x: from, widestMm: to - from };
}

/** A name that is cut shorter, in mm, says nothing: some eight letters. */
const LEAST_NAME_MM = 12;

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
export function filmJson(
  { film, gapMm, sheets, areaBound }: FullSheets,
  plans: readonly CutPlan[],
  madeFrom: MadeFrom,
): string {
  const report = {
    film: { widthMm: roundMm(film.widthMm), heightMm: roundMm(film.heightMm) },
    gapMm,
    areaBound,
    sheets: sheets.map(({ cards, full }, i) => ({
      file: `sheet-${i + 1}.svg`,
      full: roundMm(full),
      pieces: plans[i].pieces.length,
      cuttingMm: roundMm(plans[i].cuttingMm),
      minutes: roundMm(plans[i].minutes),
      stencils: cards.map(({ name, x, y, widthMm, heightMm, turned }) => ({
        name,
        x: roundMm(x),
        y: roundMm(y),
        widthMm: roundMm(widthMm),
        heightMm: roundMm(heightMm),
        turned,
      })),
    })),
    madeFrom,
  };
  return `${JSON.stringify(report, null, 2)}\n`;
}
