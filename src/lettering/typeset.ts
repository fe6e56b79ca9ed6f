import { inOrderOfPage, levelsOf } from './bidirectional.js';
import { Problem } from '../settings/problem.js';
import type { Font } from './font.js';

/** A glyph on its line before it has a size: in ems, from the line's left end along the baseline. */
export interface SetGlyph {
  readonly face: Font;
  readonly id: number;
  /** What it stands for; empty where another glyph stands for the same characters. */
  readonly text: string;
  /** Where its pen stands, and where it is drawn. */
  readonly pen: number;
  readonly x: number;
  /** Up from the baseline. */
  readonly up: number;
  readonly advance: number;
  /** It belongs to the glyph before it: a mark over a letter, or a further part of one cluster. */
  readonly isAttached: boolean;
}

/** A line of text, shaped. */
export interface SetLine {
  readonly text: string;
  readonly glyphs: readonly SetGlyph[];
  readonly width: number;
}

/** More letters than a hand cuts in a week, and than can be laid out while a person waits. */
const MOST_LETTERS = 600;

/**
 * The lines that a person typed: each as it is, with a break at its end.
 *
 * @throws Problem for no words, too many, and characters that no letter is drawn for
 */
export function typedLines(words: readonly string[]): readonly string[] {
  const lines = words
    .flatMap((text) => text.normalize('NFC').split(/\r\n|[\n\r\u2028\u2029]/))
    .map((line) => line.replaceAll(/[\t\u00a0]/g, ' ').trim());
  while (lines.at(-1) === '') lines.pop();
  while (lines[0] === '') lines.shift();
  const all = lines.join('');
  if (all === '') {
    throw new Problem(
      'There are no words',
      THE_WORDS,
      'Type a name, a year or a line; each text is a line of its own',
    );
  }
  const control = /[\p{Cc}\p{Cs}\p{Co}\p{Cn}]/u.exec(all);
  if (control) {
    throw new Problem(
      `The words hold a character that has no letter, ${codeOf(control[0])}`,
      THE_WORDS,
      'Type them anew without it; it may have come along when they were pasted',
    );
  }
  const count = Array.from(all).length;
  if (count > MOST_LETTERS) {
    throw new Problem(
      `The words have ${count} characters, more than anybody cuts from one sheet`,
      THE_WORDS,
      `Give ${MOST_LETTERS} at most, and spread longer ones over several sheets`,
    );
  }
  return lines;
}

export const THE_WORDS = 'words';

const codeOf = (character: string): string =>
  `U+${character.codePointAt(0)!.toString(16).toUpperCase().padStart(4, '0')}`;

/** They change their neighbours, and need no glyph (Unicode Character Database). */
const INVISIBLE = /\p{Default_Ignorable_Code_Point}/u;

/**
 * Shapes a line: its characters to the faces that have them, its runs in the order of the page (Unicode Standard
 * Annex 9), its letters joined, kerned and marked by the faces' own rules.
 *
 * @param faces one typeface, in parts by ranges of characters, the first preferred
 * @throws Problem that names what the typeface lacks
 */
export function setLine(text: string, faces: readonly Font[]): SetLine {
  const levels = levelsOf(text);
  const runs = inOrderOfPage(runsOf(text, faces, levels));
  const glyphs: SetGlyph[] = [];
  let pen = 0;
  for (const { start, end, level, face } of runs) {
    const leftward = level % 2 === 1;
    const shaped = face.shape(text, { start, end, leftward });
    const starts = [...new Set(shaped.map(({ cluster }) => cluster))].sort((a, b) => a - b);
    const told = new Set<number>();
    shaped.forEach(({ id, cluster, advance, right, up }, i) => {
      const next = starts.find((other) => other > cluster) ?? end;
      const isFirst = !told.has(cluster);
      told.add(cluster);
      const before = shaped[i - 1];
      glyphs.push({
        face,
        id,
        text: isFirst ? text.slice(cluster, next) : '',
        pen,
        x: pen + right,
        up,
        advance,
        isAttached: i > 0 && (before.cluster === cluster || (advance === 0 && !leftward)),
      });
      pen += advance;
    });
  }
  refuseEmptyGlyphs(glyphs);
  return { text, glyphs, width: pen };
}

/** A run of characters of one face and one direction. */
interface FontRun {
  readonly start: number;
  readonly end: number;
  readonly level: number;
  readonly face: Font;
}

function runsOf(text: string, faces: readonly Font[], levels: Uint8Array): FontRun[] {
  const runs: FontRun[] = [];
  const missing: string[] = [];
  let start = 0;
  for (const character of text) {
    const end = start + character.length;
    const last = runs.at(-1);
    const codePoint = character.codePointAt(0)!;
    const goesOn = INVISIBLE.test(character) || /\p{M}/u.test(character);
    const face =
      last && (last.face.has(codePoint) || INVISIBLE.test(character))
        ? last.face
        : faces.find(({ has }) => has(codePoint));
    if (!face && !INVISIBLE.test(character)) missing.push(character);
    const level = levels[start];
    const taken = face ?? faces[0];
    if (last?.face === taken && (last.level === level || goesOn)) {
      runs[runs.length - 1] = { ...last, end };
    } else {
      runs.push({ start, end, level, face: taken });
    }
    start = end;
  }
  if (missing.length > 0) throw lacks(missing, faces[0]);
  return runs;
}

/** Missing characters that are named. */
const MOST_NAMED = 5;

function lacks(missing: readonly string[], { name }: Font): Problem {
  const each = [...new Set(missing)];
  const named = each.slice(0, MOST_NAMED).map((one) => `“${one}” (${codeOf(one)})`);
  const more = each.length > MOST_NAMED ? ` and ${each.length - MOST_NAMED} more` : '';
  return new Problem(
    `The typeface has no letter for ${named.join(', ')}${more}`,
    name,
    'Take another typeface; noto has most scripts, and any font file of your own can be given',
  );
}

/** A picture letter, such as an emoji, has colours and no outline to cut along. */
function refuseEmptyGlyphs(glyphs: readonly SetGlyph[]): void {
  const empty = glyphs.find(
    ({ face, id, text }) =>
      /[^\s\p{Default_Ignorable_Code_Point}]/u.test(text) && face.outlines(id).length === 0,
  );
  if (!empty) return;
  throw new Problem(
    `“${empty.text}” (${codeOf(empty.text)}) has no outline to cut along in this typeface`,
    empty.face.name,
    'Leave it out, or take a typeface that draws it',
  );
}
