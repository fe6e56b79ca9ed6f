import type { Sheet } from '../card.js';

const MM_PER_INCH = 25.4;
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

function inEighths(mm: number): boolean {
  return Math.abs(mm / EIGHTH_MM - Math.round(mm / EIGHTH_MM)) < 1e-6;
}

/** At most `places` decimals, none that is not needed. */
function decimal(value: number, places: number): string {
  return String(Number(value.toFixed(places)));
}

/** The characters of Windows code page 1252 outside Latin-1 that a PDF's standard fonts have: ISO 32000, annex D. */
const BEYOND_LATIN_1 = '€‚ƒ„…†‡ˆ‰Š‹ŒŽ‘’“”•–—˜™š›œžŸ';

/** Letters that Unicode does not take apart into a plain letter and a mark. */
const PLAIN: Readonly<Record<string, string>> = {
  ł: 'l',
  Ł: 'L',
  đ: 'd',
  Đ: 'D',
  ħ: 'h',
  Ħ: 'H',
  ı: 'i',
  ŧ: 't',
  Ŧ: 'T',
};

/**
 * Text that the standard fonts of a PDF can write: letters they lack lose their marks ("ő" is "o"), and scripts
 * they lack are left out. What then has no letter or digit left is `instead`.
 */
export function printable(text: string, instead: string): string {
  const written = Array.from(text.normalize('NFC'), asWritten).join('');
  const tidy = written.replace(/\s+/g, ' ').trim();
  return /[\p{L}\p{N}]/u.test(tidy) ? tidy : instead;
}

function asWritten(character: string): string {
  if (hasGlyph(character)) return character;
  const plain = PLAIN[character] ?? character.normalize('NFKD').replace(/\p{M}/gu, '');
  return Array.from(plain).every(hasGlyph) ? plain : ' ';
}

function hasGlyph(character: string): boolean {
  return /^[\x20-\x7e\xa0-\xac\xae-\xff]$/.test(character) || BEYOND_LATIN_1.includes(character);
}
