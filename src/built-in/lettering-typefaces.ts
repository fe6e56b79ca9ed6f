import { createRequire } from 'node:module';
import { fileURLToPath } from 'node:url';

/*
 * The typefaces that words are cut in, free under the SIL Open Font License 1.1: which there are, and where their files
 * lie. Each comes in parts by ranges of characters, in WOFF 2 (W3C Recommendation, 2024); the build puts the parts for
 * Latin letters beside this file, as it does with the Noto families of typefaces.ts.
 */

/** The packages are there where the sources themselves run, as in tests; the built program has copies of its own. */
const RUNS_FROM_SOURCES = import.meta.url.endsWith('.ts');

const require = createRequire(import.meta.url);

/** A typeface for words, by what an artist calls its kind. */
export interface LetteringTypeface {
  /** What it is asked for by. */
  readonly kind: string;
  /** What its maker calls it. */
  readonly name: string;
  readonly family: string;
  /** On the scale of CSS Fonts Level 4. */
  readonly weight: 400 | 700;
  /** One sentence for a person: what it looks like. */
  readonly says: string;
}

export const LETTERING_TYPEFACES: readonly LetteringTypeface[] = [
  {
    kind: 'sans',
    name: 'Archivo Black',
    family: 'archivo-black',
    weight: 400,
    says: 'sturdy and plain, wide open letters',
  },
  {
    kind: 'narrow',
    name: 'Anton',
    family: 'anton',
    weight: 400,
    says: 'tall and narrow, the most letters to a line',
  },
  {
    kind: 'slab',
    name: 'Alfa Slab One',
    family: 'alfa-slab-one',
    weight: 400,
    says: 'heavy, with feet like those of a poster',
  },
  {
    kind: 'script',
    name: 'Pacifico',
    family: 'pacifico',
    weight: 400,
    says: 'a round brush script whose letters join',
  },
  {
    kind: 'typewriter',
    name: 'Courier Prime',
    family: 'courier-prime',
    weight: 700,
    says: 'every letter as wide as the next, as on a typewriter',
  },
  {
    kind: 'display',
    name: 'Righteous',
    family: 'righteous',
    weight: 400,
    says: 'round and even, as on an old cinema',
  },
  {
    kind: 'hand',
    name: 'Mali',
    family: 'mali',
    weight: 700,
    says: 'a round, friendly handwriting, letter by letter',
  },
];

/** The parts of each that are built in, by the labels of its package. */
const LETTERING_PARTS = ['latin', 'latin-ext'] as const;

/** The package that a typeface comes in. */
export function letteringPackage({ family }: Pick<LetteringTypeface, 'family'>): string {
  return `@fontsource/${family}`;
}

/** A typeface's files from its folder, the commonest letters first. */
export function letteringFiles({ family, weight }: LetteringTypeface): readonly string[] {
  return LETTERING_PARTS.map((part) => `files/${family}-${part}-${weight}-normal.woff2`);
}

/** Where a typeface's file lies on this computer. */
export function letteringPlace(typeface: LetteringTypeface, file: string): string {
  return RUNS_FROM_SOURCES
    ? require.resolve(`${letteringPackage(typeface)}/${file}`)
    : fileURLToPath(new URL(`./typefaces/${typeface.family}/${file}`, import.meta.url));
}
