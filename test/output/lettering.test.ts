import { readFileSync } from 'node:fs';
import { createRequire } from 'node:module';
import { inflateSync } from 'node:zlib';
import { beforeAll, describe, expect, it } from 'vitest';
import { printed, REGULAR, write } from '../../src/output/pdf/text.js';
import { mirroredPdf, templatePdf, type Template } from '../../src/output/pdf/template.js';
import { loadTypefaces, shape, typefaceFor } from '../../src/output/pdf/typefaces.js';
import { printable } from '../../src/output/pdf/wording.js';
import { readPdf } from '../support/pdf.js';

const template: Omit<Template, 'name'> = {
  openings: [],
  plan: { pieces: [] } as unknown as Template['plan'],
  sheet: { widthMm: 101.6, heightMm: 101.6 },
  job: { paper: 'a4', margin: 6, tileOverlap: 10 },
  locale: 'de-DE',
};

/** What stands on the page above the stencil's size. */
async function headingOf(name: string, says = ''): Promise<string> {
  const [{ written }] = await readPdf(await templatePdf({ ...template, name, says }));
  const size = written.findIndex(({ text }) => text.startsWith('4 × 4 in'));
  return written
    .slice(0, size)
    .map(({ text }) => text)
    .join(' ');
}

const tight = (text: string): string => text.replace(/ /g, '');

describe('a name stands on the paper in its own script, read back by pdfjs-dist', () => {
  it.each([
    ...[
      'heron by the pond',
      'Őszi Łódź',
      'Бабушка и кот',
      'γιαγιά',
      'տատիկ',
      'პაპა',
      'סבתא',
      'جدة',
    ],
    ...[
      'दादी माँ',
      'ঠাকুমা',
      'பாட்டி',
      'ยายทองคำ',
      'ជីដូន',
      '奶奶的猫',
      'おばあちゃん',
      '할머니',
      '🦊 fox',
    ],
  ])('%s', async (name) => {
    expect(tight(await headingOf(name))).toBe(tight(name));
  });

  it('the same every time', async () => {
    const made = async () => templatePdf({ ...template, name: 'جدة и 奶奶' });
    expect(await made()).toEqual(await made());
  });

  it('what is said of it stands behind it, to the right', async () => {
    const [{ written }] = await readPdf(await mirroredPdf({ ...template, name: 'جدة' }));
    const [name, says] = ['جدة', ', mirrored'].map((text) =>
      written.find((one) => one.text === text),
    );
    expect(says?.left).toBeGreaterThan((name?.right ?? Infinity) - 0.1);
  });
});

/** fontkit's own shaper and reader of WOFF 2: it shares nothing with HarfBuzz. */
interface OtherFont {
  layout(text: string): {
    readonly glyphs: readonly { readonly id: number }[];
    readonly positions: readonly {
      readonly xAdvance: number;
      readonly xOffset: number;
      readonly yOffset: number;
    }[];
  };
  getGlyph(id: number): { readonly path: { toSVG(): string } };
}
const require = createRequire(import.meta.url);
const otherFont = (bytes: Uint8Array): OtherFont =>
  (require('fontkit') as { create(bytes: Uint8Array): OtherFont }).create(bytes);

const fonts = new Map<string, OtherFont>();

function fontOf(file: string): OtherFont {
  const font = fonts.get(file) ?? otherFont(readFileSync(require.resolve(file)));
  fonts.set(file, font);
  return font;
}

/** The fonts in a PDF: what its streams hold that begins as a TrueType font does. */
function embeddedIn(pdf: Uint8Array): Uint8Array[] {
  const text = Buffer.from(pdf).toString('latin1');
  return [...text.matchAll(/stream\n([^]*?)\nendstream/g)]
    .map(([, bytes]) => inflateSync(Buffer.from(bytes, 'latin1')))
    .filter((bytes) => bytes.readUInt32BE(0) === 0x00010000);
}

describe('letters join and stack as an independent shaper (fontkit) has them', () => {
  it.each([
    ...['جدة', 'مامان', 'للأم', 'شهرزاد', 'مامان‌بزرگ', 'दादी', 'कृष्णा', 'प्रार्थना', 'क्षत्रिय', 'हिन्दी'],
    ...['ঠাকুমা', 'பாட்டி', 'മുത്തശ്ശി', 'ยายทองคำ', 'ជីដូន', 'ශ්‍රී'],
  ])('%s', async (name) => {
    const typeface = typefaceFor(name.codePointAt(0) ?? 0, 400);
    if (!typeface) throw new Error('No typeface');
    await loadTypefaces([typeface]);
    const leftward = /\p{Script=Arabic}/u.test(name);
    const shaped = shape(typeface, name, { start: 0, end: name.length, leftward });
    const other = fontOf(typeface.file);
    const { glyphs, positions } = other.layout(name);
    expect(shaped.map(({ id }) => id)).toEqual(glyphs.map(({ id }) => id));
    shaped.forEach(({ advance, right, up }, i) => {
      const { xAdvance, xOffset, yOffset } = positions[i];
      expect(1000 * advance).toBeCloseTo(xAdvance, 6);
      expect(Math.abs(1000 * right - xOffset)).toBeLessThan(2);
      expect(Math.abs(1000 * up - yOffset)).toBeLessThan(2);
    });

    // And the paper's own font draws each of them with the typeface's outline.
    const pdf = await printed({ widthMm: 100, heightMm: 40 }, name, (page) =>
      write(page, { text: printable(name, ''), x: 50, baseline: 20, points: 12, font: REGULAR }),
    );
    const [part] = embeddedIn(pdf).map(otherFont);
    for (const { id } of glyphs)
      expect(part.getGlyph(id).path.toSVG()).toBe(other.getGlyph(id).path.toSVG());
  });
});

describe('two names never print alike', () => {
  const long = 'a name that goes on and on, '.repeat(6);
  const names = [
    ...[
      'Zoë',
      'Zoe\u0308',
      'nana',
      'nana ',
      ' nana',
      'na na',
      'na  na',
      'na\u00a0na',
      'na\u200bna',
    ],
    ...[
      'na\u202ena',
      'na\u0007na',
      'nana\u2069',
      'U+1F98A',
      '🦊',
      'A',
      'А',
      'Α',
      'Ａ',
      '👍',
      '👍🏽',
      '👍🏿',
    ],
    ...['ka', 'འཕྲལ', 'འཕྲ', '猫', '⿰', '🫩', 'Stencil', '??', '  ', '\ud83e'],
    ...[`${long}one`, `${long}two`, `one ${long}`, `${long}three ${long}`, `${long}four ${long}`],
  ];
  /** As the eye reads it: lookalikes are one letter, and how a letter is spelled is not seen. */
  const seen = (text: string): string =>
    text
      .normalize('NFKC')
      .replace(/[\p{C}\p{Z}]/gu, ' ')
      .replace(/[АΑ]/g, 'A');
  const read = new Map<string, string>();

  beforeAll(async () => {
    for (const name of names) read.set(name, seen(await headingOf(name, ', mirrored')));
  });

  it('whatever they differ in', () => {
    const printed = [...read.values()];
    expect(printed.filter((one, i) => printed.indexOf(one) !== i)).toEqual([]);
  });

  it('nor does a name lose what is said of it', () => {
    for (const printed of read.values()) expect(printed).toContain(', mirrored');
  });

  it('on a narrow line it stands in smaller type', async () => {
    const pdf = await printed({ widthMm: 40, heightMm: 40 }, 'narrow', (page) =>
      write(page, {
        text: `${printable(long, '')}, turned`,
        x: 10,
        baseline: 20,
        points: 7,
        align: 'left',
        widestMm: 20,
      }),
    );
    const [{ written, text }] = await readPdf(pdf);
    expect(text.replace(/\n/g, ' ')).toMatch(/^a na….* [0-9A-Z]{6} , turned$/);
    expect(Math.max(...written.map(({ right }) => right))).toBeLessThan(30.1);
  });

  it('a long one keeps its start and its end, inside the page', async () => {
    const name = `The first ${long}of May`;
    expect(await headingOf(name)).toMatch(/^The first .*….*of May [0-9A-Z]{6}$/);
    const [{ written, widthMm }] = await readPdf(await templatePdf({ ...template, name }));
    expect(Math.max(...written.map(({ right }) => right))).toBeLessThan(widthMm - 5);
  });
});
