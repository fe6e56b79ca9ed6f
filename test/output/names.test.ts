import { readdirSync, readFileSync } from 'node:fs';
import { createRequire } from 'node:module';
import { dirname, join } from 'node:path';
import * as harfbuzz from 'harfbuzzjs';
import decompress from 'woff2-encoder/decompress';
import { describe, expect, it } from 'vitest';
import { shownName } from '../../src/output/pdf/names.js';

const plain = (name: string) => ({ parts: [{ kind: 'text', text: name }], tag: undefined });

describe('a name that no other looks like is shown as it is', () => {
  it.each([
    ...[
      'heron by the pond',
      'IMG_0001 (2)',
      'Café “Größe” €5 – Ægir',
      'Őszi Łódź čaj ığdır',
      'Đà Nẵng',
    ],
    ...[
      'Бабушка с котом',
      'Кот и fox',
      'γιαγιά',
      'տատիկ',
      'პაპა',
      'סבתא 2',
      'جدة',
      'ليلى',
      'پدربزرگ',
      'दादी माँ',
      'ঠাকুমা',
    ],
    ...['ਦਾਦੀ', 'દાદી', 'பாட்டி', 'అమ్మమ్మ', 'ಅಜ್ಜಿ', 'മുത്തശ്ശി', 'ආච්චි', 'ยายทองคำ', 'အဖွား', 'ជីដូន', 'አያት'],
    ...['奶奶（2）', 'おばあちゃん', 'メール', 'Tシャツ', '할머니 ㅋㅋ', '🦊 fox'],
  ])('%s', (name) => {
    expect(shownName(name)).toEqual(plain(name));
  });
});

describe('what can’t be seen is shown by its code point', () => {
  it.each([
    ['nana ', ['nana', 0x20]],
    [' nana', [0x20, 'nana']],
    ['na  na', ['na ', 0x20, 'na']],
    ['na\u00a0na', ['na', 0xa0, 'na']],
    ['na\u200bna', ['na', 0x200b, 'na']],
    ['na\u202ena', ['na', 0x202e, 'na']],
    ['na\u00adna', ['na', 0xad, 'na']],
    ['na\u0007na', ['na', 7, 'na']],
    ['na\ufe0fna', ['na', 0xfe0f, 'na']],
    ['\u200dnana', [0x200d, 'nana']],
    ['\u2028', [0x2028]],
    ['\u3164', [0x3164]],
  ])('%j', (name, shown) => {
    expect(
      shownName(name).parts.map((part) => (part.kind === 'text' ? part.text : part.codePoint)),
    ).toEqual(shown);
  });
});

describe('of names that look the same, one at most has no tag, and the tags differ', () => {
  it.each([
    ['composed and not', ['Zoë', 'Zoe\u0308']],
    ['syllables and their letters', ['할머니', '할머니'.normalize('NFD')]],
    ['Latin and Cyrillic', ['Capa', 'Сара', 'Cара', 'Сapa']],
    ['Latin, Greek and Cyrillic', ['TOM', 'ΤΟΜ', 'ТОМ']],
    ['a word between others', ['Бабушка с котом', 'Бабушка c котом']],
    ['beside kana', ['Tシャツ', 'Тシャツ', 'Τシャツ']],
    ['barred capitals', ['Đan', 'Ðan', 'Ɖan']],
    ['ligatures', ['fine', 'ﬁne']],
    ['wide letters', ['A', 'Ａ']],
    ['hyphens', ['a-b', 'a\u2010b', 'a\u2011b']],
    ['dots', ['a…', 'a...']],
    ['commas', ['a, b', 'a‚ b']],
    ['Arabic and Persian twins', ['بيت', 'بیت']],
    ['Arabic and Persian ends', ['على', 'علی']],
    ['digits', ['جدة ١', 'جدة ۱']],
    ['joined or not', ['مامان‌بزرگ', 'مامانبزرگ', 'مامان‍بزرگ']],
    ['the order of two directions', ['אב ab', 'ab אב']],
    ['kana and a number', ['カニ', 'カ二', '力ニ']],
    ['a long sound and a one', ['メール', 'メ一ル']],
    ['Thai vowels', ['แม่', 'เเม่']],
    ['Thai marks', ['คำ', 'คํา']],
    ['Tamil', ['ஔ', 'ஒள']],
    ['marks twice', ['กิ', 'กิิ']],
    ['skin', ['👍', '👍🏽', '👍🏿']],
    ['styles of an emoji', ['❤', '❤\ufe0f', '❤\ufe0e']],
  ])('%s', (_, names) => {
    const tags = names.map((name) => shownName(name).tag);
    expect(new Set(tags).size).toBe(names.length);
  });
});

/** The typefaces whose characters are told apart by their outlines here; those for Chinese and Korean take too long. */
const FAMILIES = [
  ...['noto-sans', 'noto-emoji', 'noto-sans-arabic', 'noto-sans-armenian', 'noto-sans-bengali'],
  ...['noto-sans-ethiopic', 'noto-sans-georgian', 'noto-sans-gujarati', 'noto-sans-gurmukhi'],
  ...['noto-sans-hebrew', 'noto-sans-kannada', 'noto-sans-khmer', 'noto-sans-malayalam'],
  ...['noto-sans-sinhala', 'noto-sans-tamil', 'noto-sans-telugu', 'noto-sans-thai'],
];

/** The characters of a typeface by their outlines, as HarfBuzz draws them. */
async function byOutline(family: string): Promise<Map<string, Set<string>>> {
  const require = createRequire(import.meta.url);
  const folder = join(
    dirname(require.resolve(`@fontsource-variable/${family}/package.json`)),
    'files',
  );
  const found = new Map<string, Set<string>>();
  for (const file of readdirSync(folder).filter((name) => name.endsWith('-wght-normal.woff2'))) {
    const face = new harfbuzz.Face(
      new harfbuzz.Blob(await decompress(readFileSync(join(folder, file)))),
    );
    const font = new harfbuzz.Font(face);
    for (const codePoint of Array.from(face.collectUnicodes())) {
      const glyph = font.nominalGlyph(codePoint);
      const outline = glyph === undefined ? '' : font.glyphToPath(glyph);
      if (outline === '') continue;
      const same = found.get(outline) ?? new Set();
      found.set(outline, same.add(String.fromCodePoint(codePoint)));
    }
  }
  return found;
}

it('of the characters that a typeface draws with one outline, one at most is shown without a tag', async () => {
  for (const family of FAMILIES) {
    for (const same of (await byOutline(family)).values()) {
      if (same.size === 1) continue;
      const untold = [...same].filter((name) => {
        const { parts, tag } = shownName(name);
        return tag === undefined && parts.every(({ kind }) => kind === 'text');
      });
      expect(untold.length, `${family}: ${[...same].join(' ')}`).toBeLessThan(2);
    }
  }
});
