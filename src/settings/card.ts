import { didYouMean } from './words/nearest.js';
import { Problem } from './problem.js';

/** The finished size that the work is for, and so the size of the sheet, in millimetres. */
export interface Sheet {
  readonly widthMm: number;
  readonly heightMm: number;
}

/** How the card is turned. `as-given` leaves the two numbers in the order in which they were given. */
export type CardTurn = 'as-given' | 'portrait' | 'landscape';

/** Exact by definition: international yard and pound agreement, 1959; NIST Special Publication 811, appendix B. */
export const MM_PER_INCH = 25.4;

/** What a person measures a card in. */
export type CardUnit = 'in' | 'mm' | 'cm';

/** A card's name, its size in millimetres, what it is measured in, and where the size comes from. */
export interface NamedCard {
  readonly name: string;
  readonly widthMm: number;
  readonly heightMm: number;
  readonly unit: CardUnit;
  readonly source: string;
}

const inches = (
  name: string,
  width: number,
  height: number,
  source = 'common practice, no source',
): NamedCard => ({
  name,
  widthMm: width * MM_PER_INCH,
  heightMm: height * MM_PER_INCH,
  unit: 'in',
  source,
});

const millimetres = (
  name: string,
  widthMm: number,
  heightMm: number,
  source: string,
): NamedCard => ({ name, widthMm, heightMm, unit: 'mm', source });

/** The sizes that a card can be named by. */
export const namedCards: readonly NamedCard[] = [
  inches('art-card', 4, 4),
  inches('trading-card', 2.5, 3.5),
  inches('postcard', 4, 6),
  inches('journal-page', 5, 7),
  inches('film-sheet', 9, 12),
  inches('letter', 8.5, 11, 'ANSI/ASME Y14.1, size A'),
  millimetres('id-card', 85.6, 53.98, 'ISO/IEC 7810, ID-1'),
  millimetres('a3', 297, 420, 'ISO 216'),
  millimetres('a4', 210, 297, 'ISO 216'),
  millimetres('a5', 148, 210, 'ISO 216'),
  millimetres('a6', 105, 148, 'ISO 216'),
  millimetres('a7', 74, 105, 'ISO 216'),
];

const NUMBER = String.raw`(\d+(?:[.,]\d+)?)`;
const UNIT = '(inches|inch|in|mm|cm|["″”])';
const SIZE = new RegExp(`^${NUMBER}\\s*${UNIT}?\\s*(?:x|×|\\*|by)\\s*${NUMBER}\\s*${UNIT}?$`);
/** One side, of a square. Its comma might part two sides. */
const SIDE = new RegExp(`^(\\d+(?:\\.\\d+)?)\\s*${UNIT}$`);
/** Two numbers alone are inches up to here, as art cards and journal pages are called, and mm from there on. */
const MOST_PLAIN_INCHES = 12;
const LEAST_PLAIN_MM = 50;

/** The unit that is meant by two numbers without one; undefined between, where cards are called in cm and in inches. */
function plainUnit(...sides: readonly string[]): 'in' | 'mm' | undefined {
  const numbers = sides.map(inNumbers);
  if (Math.max(...numbers) <= MOST_PLAIN_INCHES) return 'in';
  return Math.min(...numbers) >= LEAST_PLAIN_MM ? 'mm' : undefined;
}

/**
 * A card's sides, in mm: from what a margin leaves a motif on, to what is cut at a table. Common practice, no source.
 */
const SMALLEST_MM = 20;
export const LARGEST_MM = 1000;

export const MM_PER: Readonly<Record<CardUnit, number>> = { in: MM_PER_INCH, mm: 1, cm: 10 };

/** The unit of a text such as mm, in, inches or a double prime. */
const unitWritten = (text: string): CardUnit => (text === 'mm' || text === 'cm' ? text : 'in');

/**
 * Reads a card: a name of `namedCards`, two numbers with a unit (`4x4in`, `105 x 148 mm`, `10,5x15cm`), or one with a
 * unit for a square (`10 cm`, `10 cm square`). Two numbers alone (`5x7`) are inches up to 12, and mm from 50 on.
 *
 * @throws Problem when it is neither, or not between 20 mm and 1000 mm a side
 */
export function parseCard(text: string, turn: CardTurn = 'as-given'): Sheet {
  const words = wordsOf(text);
  return orientedSheet(namedBy(words) ?? measured(words, text), turn);
}

/** What a card was measured in by who gave it; places on it are told in that. Words that are no card: in mm. */
export function unitOf(card: string): CardUnit {
  const words = wordsOf(card);
  return namedBy(words)?.unit ?? sidesIn(words)?.height.unit ?? 'mm';
}

const wordsOf = (text: string): string =>
  text
    .trim()
    .toLowerCase()
    .replace(/(?<=.)\s+square$/, '');

const namedBy = (words: string): NamedCard | undefined =>
  namedCards.find((card) => card.name === words.replaceAll(' ', '-'));

interface CardSide {
  readonly length: number;
  readonly unit: CardUnit;
}

/** The two sides that are meant; undefined where words are no size. */
function sidesIn(
  words: string,
): { readonly width: CardSide; readonly height: CardSide } | undefined {
  const [, side, sideUnit] = SIDE.exec(words) ?? [];
  const [, width = side, widthUnit, height = side, lastUnit = sideUnit] = SIZE.exec(words) ?? [];
  if (width === undefined || height === undefined) return undefined;
  const heightUnit = lastUnit ?? widthUnit ?? plainUnit(width, height);
  if (heightUnit === undefined) return undefined;
  return {
    width: { length: inNumbers(width), unit: unitWritten(widthUnit ?? heightUnit) },
    height: { length: inNumbers(height), unit: unitWritten(heightUnit) },
  };
}

function measured(words: string, asGiven: string): Sheet {
  const sides = sidesIn(words);
  if (!sides) throw new Problem(`"${asGiven}" is not a card size`, '`card`', remedyFor(words));
  const inMm = ({ length, unit }: CardSide): number => length * MM_PER[unit];
  const sheet = { widthMm: inMm(sides.width), heightMm: inMm(sides.height) };
  if (Math.min(sheet.widthMm, sheet.heightMm) < SMALLEST_MM) {
    throw new Problem(
      `A card of ${asGiven} is too small`,
      '`card`',
      `Each side must be at least ${SMALLEST_MM} mm (about 0.8 in)`,
    );
  }
  if (Math.max(sheet.widthMm, sheet.heightMm) > LARGEST_MM) {
    throw new Problem(
      `A card of ${asGiven} is too large`,
      '`card`',
      `Each side may be at most ${LARGEST_MM} mm (about 39 in)`,
    );
  }
  return sheet;
}

/** What to write in place of words that are no card: the same with a unit, the name that was meant, or how it goes. */
function remedyFor(words: string): string {
  const names = namedCards.map((card) => card.name);
  const usual = `Give two numbers and a unit, as in 4x4in, 105x148mm or 10x15cm, or a name: ${names.join(', ')}`;
  if (SIZE.test(`${words}in`)) return `Say in what, as in ${words}in or ${words}cm`;
  return /^\d/.test(words) ? usual : didYouMean(words, names, usual);
}

const inNumbers = (text: string): number => Number(text.replace(',', '.'));

function orientedSheet({ widthMm, heightMm }: Sheet, turn: CardTurn): Sheet {
  const short = Math.min(widthMm, heightMm);
  const long = Math.max(widthMm, heightMm);
  if (turn === 'portrait') return { widthMm: short, heightMm: long };
  if (turn === 'landscape') return { widthMm: long, heightMm: short };
  return { widthMm, heightMm };
}

/**
 * A pixel is the tenth of a mm that every output keeps to. Px of a sheet at most: larger ones are worked on coarser,
 * against time and memory (18 × 24 in took 6.5 s and 646 MiB, `npm run bench:folder`).
 */
export const FINEST_PIXELS_PER_MM = 10;
const MOST_PIXELS = 16_000_000;

/** Pixels a millimetre for the raster stages: 10 unless set, or what keeps the sheet within 16 megapixels. */
export function pixelsPerMm(
  { widthMm, heightMm }: Sheet,
  fineness: number = FINEST_PIXELS_PER_MM,
): number {
  return Math.min(fineness, Math.sqrt(MOST_PIXELS / (widthMm * heightMm)));
}
