import { MM_PER_INCH, type Sheet } from '../../settings/card.js';

/** Sizes in inches are given in eighths at the finest: common practice, no source. */
const EIGHTH_MM = MM_PER_INCH / 8;

/** "4 × 4 in (101.6 × 101.6 mm)", or millimetres first where the size is not one in eighths of an inch. */
export function sizeInWords({ widthMm, heightMm }: Sheet): string {
  const inMm = `${decimal(widthMm, 1)} × ${decimal(heightMm, 1)} mm`;
  const inInches = `${decimal(widthMm / MM_PER_INCH, 3)} × ${decimal(heightMm / MM_PER_INCH, 3)} in`;
  const roughly = `${decimal(widthMm / MM_PER_INCH, 2)} × ${decimal(heightMm / MM_PER_INCH, 2)} in`;
  return inEighths(widthMm) && inEighths(heightMm)
    ? `${inInches} (${inMm})`
    : `${inMm} (${roughly})`;
}

/** What a length may be off by in binary, in eighths of an inch. */
const ROUNDING = 1e-6;

function inEighths(mm: number): boolean {
  return Math.abs(mm / EIGHTH_MM - Math.round(mm / EIGHTH_MM)) < ROUNDING;
}

/** At most `places` decimals, none that is not needed. */
function decimal(value: number, places: number): string {
  return String(Number(value.toFixed(places)));
}

/** First strong isolate and its end: what lies between them has a direction of its own (Unicode Standard Annex 9). */
const [ISOLATE, END] = ['\u2068', '\u2069'];

/** A name that someone gave, as part of a line that `write` of text.ts writes; without one, `instead`. */
export function printable(name: string, instead: string): string {
  return name === '' ? instead : `${ISOLATE}${name}${END}`;
}

/** A line taken apart at the name in it. */
export interface NamedLine {
  readonly before: string;
  readonly name: string;
  readonly after: string;
}

/** Finds the name in a line; undefined where there is none. */
export function nameIn(line: string): NamedLine | undefined {
  const [start, end] = [line.indexOf(ISOLATE), line.lastIndexOf(END)];
  if (start < 0 || end < start) return undefined;
  return {
    before: line.slice(0, start),
    name: line.slice(start + 1, end),
    after: line.slice(end + 1),
  };
}

/** The characters of Windows code page 1252 outside Latin-1 that a PDF's standard fonts have: ISO 32000, annex D. */
const BEYOND_LATIN_1 = '€‚ƒ„…†‡ˆ‰Š‹ŒŽ‘’“”•–—˜™š›œžŸ';

/** Whether a PDF's standard fonts have every character of a text. */
export function isStandard(text: string): boolean {
  return Array.from(text).every(
    (character) =>
      /^[\x20-\x7e\xa0-\xac\xae-\xff]$/.test(character) || BEYOND_LATIN_1.includes(character),
  );
}
