import { inOrderOfPage, levelsOf } from '../../lettering/bidirectional.js';
import type { Weight } from '../../built-in/typefaces.js';
import type { NamePart } from './names.js';
import { isLoaded, shape, typefaceFor, type Glyph, type Typeface } from './typefaces.js';

/** A piece of a line, as the pieces follow each other on the page from left to right. */
export type NamePiece =
  | { readonly kind: 'plain'; readonly text: string }
  | { readonly kind: 'glyphs'; readonly typeface: Typeface; readonly glyphs: readonly Glyph[] }
  | { readonly kind: 'code'; readonly codePoint: number };

/** A name laid out, or the typefaces that have to be loaded first. */
export type NameLine =
  | { readonly pieces: readonly NamePiece[] }
  | { readonly wanted: readonly Typeface[] };

/** A character and what shows it: a typeface, or its code point. */
interface Cell {
  readonly character: string;
  readonly typeface: Typeface | undefined;
}

/** A run of characters of one typeface and one direction. */
interface FontRun {
  readonly start: number;
  readonly end: number;
  readonly level: number;
  readonly typeface: Typeface | undefined;
  /** Its first character. */
  readonly character: string;
}

/** What stands in the text for a character that is shown by its code point: it has no direction of its own. */
const OBJECT = '\ufffc';
const GOES_WITH = /\p{M}|\p{Default_Ignorable_Code_Point}/u;
/** They change their neighbours, and need no glyph. */
const INVISIBLE = /\p{Default_Ignorable_Code_Point}/u;

/**
 * Lays out the parts of a name in the order of the page (Unicode Standard Annex 9), shaped. What no typeface has is
 * shown by its code point.
 */
export function layName(parts: readonly NamePart[], weight: Weight): NameLine {
  const cells = parts.flatMap((part) =>
    part.kind === 'code'
      ? [{ character: String.fromCodePoint(part.codePoint), typeface: undefined }]
      : cellsOf(part.text, weight),
  );
  const wanted = cells.flatMap(({ typeface }) =>
    typeface && !isLoaded(typeface) ? [typeface] : [],
  );
  if (wanted.length > 0) return { wanted };
  const text = cells.map(({ character, typeface }) => (typeface ? character : OBJECT)).join('');
  const runs = inOrderOfPage(runsOf(cells, levelsOf(text)));
  return {
    pieces: runs.map(({ start, end, level, typeface, character }): NamePiece => {
      if (!typeface) return { kind: 'code', codePoint: character.codePointAt(0) ?? 0 };
      const glyphs = shape(typeface, text, { start, end, leftward: level % 2 === 1 });
      return { kind: 'glyphs', typeface, glyphs };
    }),
  };
}

function cellsOf(text: string, weight: Weight): Cell[] {
  const cells: Cell[] = [];
  let before: Typeface | undefined;
  for (const character of text) {
    const codePoint = character.codePointAt(0) ?? 0;
    const stays = /[\p{Script=Common}\p{Script=Inherited}\p{M}]/u.test(character);
    const found = typefaceFor(codePoint, weight, stays ? before : undefined);
    // A mark that its letter's typeface lacks stands alone in another; what changes its neighbours stays with them.
    before = INVISIBLE.test(character) ? (before ?? found) : found;
    cells.push({ character, typeface: before });
  }
  return cells;
}

function runsOf(cells: readonly Cell[], levels: Uint8Array): FontRun[] {
  const runs: FontRun[] = [];
  let end = 0;
  for (const { character, typeface } of cells) {
    const start = end;
    end += typeface ? character.length : OBJECT.length;
    const last = runs.at(-1);
    const level = levels[start];
    const goesOn =
      typeface !== undefined &&
      last?.typeface === typeface &&
      (last.level === level || GOES_WITH.test(character));
    if (goesOn) runs[runs.length - 1] = { ...last, end };
    else runs.push({ start, end, level, typeface, character });
  }
  return runs;
}
