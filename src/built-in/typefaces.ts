import { readFileSync } from 'node:fs';
import { createRequire } from 'node:module';
import { fileURLToPath } from 'node:url';

/*
 * The Noto families, which share one design and are free under the SIL Open Font License 1.1: which there are, and where
 * their files lie. Each comes in parts by ranges of characters, in WOFF 2 (W3C Recommendation, 2024). Of a package that
 * brings italics, other weights and style sheets too, the build puts the parts that are used beside this file, and
 * nothing else: see build.mjs.
 */

/** The packages are there where the sources themselves run, as in tests; the built program has copies of its own. */
const RUNS_FROM_SOURCES = import.meta.url.endsWith('.ts');

const require = createRequire(import.meta.url);

/** Regular and bold, on the scale of CSS Fonts Level 4. */
export const WEIGHTS = [400, 700] as const;
export type Weight = (typeof WEIGHTS)[number];

/** Nearly all are variable in weight; `fixed` has a file for each weight instead of one that varies. */
export interface Family {
  readonly name: string;
  readonly fixed?: true;
}

/** In order of preference. */
export const FAMILIES: readonly Family[] = [
  { name: 'noto-sans' },
  { name: 'noto-sans-arabic' },
  { name: 'noto-sans-armenian' },
  { name: 'noto-sans-bengali' },
  { name: 'noto-sans-ethiopic' },
  { name: 'noto-sans-georgian' },
  { name: 'noto-sans-gujarati' },
  { name: 'noto-sans-gurmukhi' },
  { name: 'noto-sans-hebrew' },
  { name: 'noto-sans-kannada' },
  { name: 'noto-sans-khmer' },
  { name: 'noto-sans-malayalam' },
  { name: 'noto-sans-myanmar', fixed: true },
  { name: 'noto-sans-sinhala' },
  { name: 'noto-sans-tamil' },
  { name: 'noto-sans-telugu' },
  { name: 'noto-sans-thai' },
  { name: 'noto-emoji' },
  { name: 'noto-sans-sc' },
  { name: 'noto-sans-kr' },
];

/** The package that a family comes in. */
export function packageOf({ name, fixed }: Family): string {
  return `@fontsource${fixed ? '' : '-variable'}/${name}`;
}

/** Where a family says which characters each of its parts is for. */
export const RANGES_FILE = 'unicode.json';

/** The parts of a family by their labels, each with its characters as a CSS unicode-range (CSS Fonts Level 4). */
export function rangesOf(family: Family): Readonly<Record<string, string>> {
  return JSON.parse(readFileSync(fontPathOf(family, RANGES_FILE), 'utf8')) as Record<
    string,
    string
  >;
}

/** The file of a family's part at a weight, from the family's folder. */
export function fontFileOf({ name, fixed }: Family, part: string, weight: Weight): string {
  return `files/${name}-${bare(part)}-${fixed ? weight : 'wght'}-normal.woff2`;
}

/** A part's label without the brackets that those by number have. */
export function bare(part: string): string {
  return part.replace(/[[\]]/g, '');
}

/** Where a family's file lies on this computer. */
export function fontPathOf(family: Family, file: string): string {
  return RUNS_FROM_SOURCES
    ? require.resolve(`${packageOf(family)}/${file}`)
    : fileURLToPath(new URL(`./typefaces/${family.name}/${file}`, import.meta.url));
}
