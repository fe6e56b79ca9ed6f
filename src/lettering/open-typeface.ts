import { readFile } from 'node:fs/promises';
import { extname } from 'node:path';
import {
  LETTERING_TYPEFACES,
  letteringFiles,
  letteringPlace,
} from '../built-in/lettering-typefaces.js';
import { FAMILIES, fontFileOf, fontPathOf, rangesOf } from '../built-in/typefaces.js';
import { didYouMean } from '../settings/words/nearest.js';
import { typefaceKinds } from '../settings/lettering-settings.js';
import { Problem } from '../settings/problem.js';
import { openFont, readFont, type Font } from './font.js';

/** The Noto families have one design for most scripts; heavy enough for a tip. */
const MANY_SCRIPTS = 'noto';
const HEAVY = 800;

/** A kind's own name and what it looks like. */
export function describeTypeface(kind: string): { readonly name: string; readonly says: string } {
  return (
    LETTERING_TYPEFACES.find((one) => one.kind === kind) ?? {
      name: 'Noto Sans',
      says: 'plain, for Greek, Cyrillic, Arabic, Hebrew, the scripts of India and many more',
    }
  );
}

const FONT_FILE = /^\.(ttf|otf|woff2?|ttc)$/i;

/**
 * Opens a typeface by its kind, or a font file by its path.
 *
 * @param text what it is to have letters for: many scripts come in many files, of which few are opened
 * @returns its parts, the first preferred
 * @throws Problem when there is no such typeface, or the file can't be used
 */
export async function openTypeface(kindOrFile: string, text: string): Promise<readonly Font[]> {
  const kind = kindOrFile.trim().toLowerCase();
  const known = LETTERING_TYPEFACES.find((one) => one.kind === kind);
  if (known) {
    return Promise.all(
      letteringFiles(known).map((file) => openBuiltIn(letteringPlace(known, file), known.name)),
    );
  }
  if (kind === MANY_SCRIPTS) return openManyScripts(text);
  if (FONT_FILE.test(extname(kindOrFile)) || /[/\\]/.test(kindOrFile)) {
    return [await readFont(kindOrFile)];
  }
  throw new Problem(
    `There is no typeface called "${kindOrFile}"`,
    '`face`',
    didYouMean(
      kind,
      typefaceKinds,
      `Choose among ${typefaceKinds.join(', ')}, or give a font file, .ttf, .otf, .woff or .woff2`,
    ),
  );
}

const openedFonts = new Map<string, Promise<Font>>();

function openBuiltIn(path: string, name: string, weight?: number): Promise<Font> {
  const known = openedFonts.get(path);
  if (known) return known;
  const face = readFile(path).then((bytes) => openFont(bytes, name, weight));
  openedFonts.set(path, face);
  return face;
}

async function openManyScripts(text: string): Promise<readonly Font[]> {
  const wanted = new Set(Array.from(text, (character) => character.codePointAt(0)!));
  const files: { readonly path: string; readonly isVariable: boolean }[] = [];
  for (const family of FAMILIES) {
    // The emoji are drawn with thin lines, for reading small.
    if (family.name === 'noto-emoji') continue;
    for (const [part, ranges] of Object.entries(rangesOf(family))) {
      const has = inRanges(ranges);
      const found = [...wanted].filter(has);
      if (found.length === 0) continue;
      for (const one of found) wanted.delete(one);
      const path = fontPathOf(family, fontFileOf(family, part, 700));
      files.push({ path, isVariable: family.fixed !== true });
    }
  }
  const faces = await Promise.all(
    files.map(({ path, isVariable }) =>
      openBuiltIn(path, 'Noto Sans', isVariable ? HEAVY : undefined),
    ),
  );
  const latin = FAMILIES[0];
  const usual = await openBuiltIn(
    fontPathOf(latin, fontFileOf(latin, 'latin', 700)),
    'Noto Sans',
    HEAVY,
  );
  return faces.length > 0 ? faces : [usual];
}

/** Of a CSS unicode-range: "U+0100-02BA,U+02BD" (CSS Fonts Level 4). */
function inRanges(text: string): (codePoint: number) => boolean {
  const ranges = text.split(',').map((range) => {
    const [first, last = first] = range.trim().slice(2).split('-');
    return [parseInt(first, 16), parseInt(last, 16)] as const;
  });
  return (codePoint) => ranges.some(([first, last]) => codePoint >= first && codePoint <= last);
}
