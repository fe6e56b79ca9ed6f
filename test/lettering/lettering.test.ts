import { readFileSync } from 'node:fs';
import { deflateSync } from 'node:zlib';
import { beforeAll, describe, expect, it } from 'vitest';
import decompress from 'woff2-encoder/decompress';
import { carriedEdits } from '../../src/lettering/carried-edits.js';
import { counterBridges } from '../../src/lettering/counter-bridges.js';
import { drawLetters, letterBridges } from '../../src/lettering/draw.js';
import { openFont, type Font } from '../../src/lettering/font.js';
import { describeTypeface, openTypeface } from '../../src/lettering/open-typeface.js';
import { boundsOfLoops } from '../../src/geometry/bounding-box.js';
import { gapBetween } from '../../src/lettering/gaps.js';
import { inkOf } from '../../src/lettering/ink.js';
import { fitInto, layOut } from '../../src/lettering/layout.js';
import { leastCapHeight } from '../../src/lettering/least-size.js';
import { squaredTurns } from '../../src/lettering/squared-turns.js';
import { typedLines, setLine } from '../../src/lettering/typeset.js';
import { flatten } from '../../src/geometry/flatten.js';
import { circle, roundedSquare } from '../../src/geometry/basic-outlines.js';
import { withTightTurnsMarked } from '../../src/geometry/tight-turns.js';
import { typefaceKinds } from '../../src/settings/lettering-settings.js';
import { Problem } from '../../src/settings/problem.js';
import type { Outline } from '../../src/geometry/shape.js';
import {
  LETTERING_TYPEFACES,
  letteringFiles,
  letteringPlace,
} from '../../src/built-in/lettering-typefaces.js';
import { RULES } from '../support/layout-rules.js';
import { withFsType } from '../support/font-files.js';

const BRIDGES = {
  rule: 'slanted',
  bridgeWidth: 2.4,
  leastWidth: 1.6,
  narrowestOpening: 1.5,
  smallCounter: 18,
  largeCounter: 100,
} as const;

const sansFile = letteringPlace(LETTERING_TYPEFACES[0], letteringFiles(LETTERING_TYPEFACES[0])[0]);

let sans: readonly Font[];
let hand: readonly Font[];
let sfnt: Uint8Array;

beforeAll(async () => {
  sans = await openTypeface('sans', '');
  hand = await openTypeface('hand', '');
  sfnt = await decompress(readFileSync(sansFile));
});

const problem = async (work: () => unknown): Promise<string> => {
  try {
    await work();
  } catch (error) {
    if (error instanceof Problem) return error.what;
    throw error;
  }
  return 'none';
};

describe('words', () => {
  it('are lines, trimmed, without empty ones at either end', () => {
    expect(typedLines(['  Nana ', 'one\ntwo\r\nthree', ''])).toEqual([
      'Nana',
      'one',
      'two',
      'three',
    ]);
  });

  it.each([
    ['nothing', [' ', ''], 'There are no words'],
    [
      'a control character',
      ['Na\u0007na'],
      'The words hold a character that has no letter, U+0007',
    ],
    [
      'too many',
      ['x'.repeat(601)],
      'The words have 601 characters, more than anybody cuts from one sheet',
    ],
  ])('of %s are refused', async (_, words, what) => {
    expect(await problem(() => typedLines(words))).toBe(what);
  });

  it('name what their typeface lacks', async () => {
    expect(await problem(() => setLine('Nana \u{1f600} ذ', sans))).toBe(
      'The typeface has no letter for “\u{1f600}” (U+1F600), “ذ” (U+0630)',
    );
  });

  it('take accents from the part of a typeface that has them', () => {
    const { glyphs } = setLine('Łódź', sans);
    expect(new Set(glyphs.map(({ face }) => face)).size).toBe(2);
    expect(glyphs.map(({ text }) => text).join('')).toBe('Łódź');
  });

  it('of two directions stand in the order of the page', async () => {
    const faces = await openTypeface('noto', 'abc שלום');
    const texts = setLine('abc שלום', faces).glyphs.map(({ text }) => text);
    expect(texts.join('')).toBe('abc םולש');
  });
});

/** A font as WOFF (WOFF File Format 1.0): its tables packed by zlib. */
function asWoff(font: Uint8Array): Uint8Array {
  const view = new DataView(font.buffer, font.byteOffset, font.byteLength);
  const count = view.getUint16(4);
  const tables = Array.from({ length: count }, (_, i) => {
    const [tag, sum, offset, length] = [0, 4, 8, 12].map((at) => view.getUint32(12 + 16 * i + at));
    const raw = font.subarray(offset, offset + length);
    const packed = deflateSync(raw);
    return { tag, sum, length, data: packed.length < length ? packed : raw };
  });
  const size = tables.reduce((all, { data }) => all + ((data.length + 3) & ~3), 44 + 20 * count);
  const woff = new Uint8Array(size);
  const out = new DataView(woff.buffer);
  [0x774f4646, view.getUint32(0), size].forEach((value, k) => out.setUint32(4 * k, value));
  out.setUint16(12, count);
  let at = 44 + 20 * count;
  tables.forEach(({ tag, sum, length, data }, i) => {
    [tag, at, data.length, length, sum].forEach((value, k) =>
      out.setUint32(44 + 20 * i + 4 * k, value),
    );
    woff.set(data, at);
    at += (data.length + 3) & ~3;
  });
  return woff;
}

describe('a font file', () => {
  it('is read as TrueType, WOFF and WOFF 2, with the same outlines', async () => {
    const faces = await Promise.all(
      [sfnt, asWoff(sfnt), readFileSync(sansFile)].map((bytes) => openFont(bytes, 'font')),
    );
    const drawn = faces.map((face) => {
      const [glyph] = face.shape('R', { start: 0, end: 1, leftward: false });
      return face.outlines(glyph.id);
    });
    expect(drawn[1]).toEqual(drawn[0]);
    expect(drawn[2]).toEqual(drawn[0]);
  });

  it.each([
    ['no font', () => new Uint8Array([1, 2, 3, 4, 5]), /no typeface that can be read/],
    ['cut short', () => sfnt.subarray(0, 300), /it is cut short/],
    ['cut in half', () => sfnt.subarray(0, sfnt.length >> 1), /it is cut short/],
    ['empty', () => new Uint8Array(), /it is empty/],
    [
      'encrypted',
      () => sfnt.map((value, i) => (i < 400 ? value : value ^ 0x5a)),
      /it has no letters/,
    ],
    ['encrypted in its outlines', () => scrambled('glyf'), /none of its letters can be drawn/],
    ['encrypted in its widths', () => scrambled('hmtx'), /the widths of its letters are damaged/],
    ['a damaged WOFF 2', () => readFileSync(sansFile).fill(7, 300), /it is damaged/],
    ['a packed folder', () => begun('PK\u0003\u0004\u0014\0\0\0'), /\(ZIP\); the typeface in it/],
    ['a locked one', () => begun('PK\u0003\u0004\u0014\0\u0001\0'), /locked with a password/],
    ['a document', () => begun('%PDF-1.7'), /a document \(PDF\)/],
    ['of PostScript', () => begun('\u0080\u0001\0\0\0\0%!PS-AdobeFont'), /Type 1/],
    ['a damaged WOFF', () => asWoff(sfnt).fill(7, 2000, 2400), /it is damaged/],
    ['a collection', () => new TextEncoder().encode('ttcf0000'), /several typefaces/],
    ['one that may not be embedded', () => withFsType(sfnt, 2), /may not be put into documents/],
    ['one for pixels only', () => withFsType(sfnt, 0x200), /may not be put into documents/],
  ])('that is %s is refused', async (_, bytes, what) => {
    expect(await problem(() => openFont(bytes(), 'font'))).toMatch(what);
  });

  /** The font with one of its tables made unreadable. */
  const scrambled = (tag: string): Uint8Array => {
    const made = sfnt.slice();
    const view = new DataView(made.buffer, made.byteOffset, made.byteLength);
    for (let at = 12; at < 12 + 16 * view.getUint16(4); at += 16) {
      if (String.fromCharCode(...made.subarray(at, at + 4)) !== tag) continue;
      const [offset, length] = [view.getUint32(at + 8), view.getUint32(at + 12)];
      for (let i = offset; i < offset + length; i++) made[i] ^= (73 * i + 11) & 255;
    }
    return made;
  };

  /** A file that begins so. */
  const begun = (text: string): Uint8Array =>
    Uint8Array.from({ length: 200 }, (_, i) => (i < text.length ? text.charCodeAt(i) : i));

  it('that may be embedded for print is taken', async () => {
    expect(await problem(() => openFont(withFsType(sfnt, 4), 'font'))).toBe('none');
  });

  it.each([
    ['slap', /There is no typeface called "slap"/],
    ['./nowhere.otf', /can’t be read/],
  ])('%s is not there', async (face, what) => {
    expect(await problem(() => openTypeface(face, ''))).toMatch(what);
  });

  it('of each kind is there, with a name', async () => {
    expect(typefaceKinds.length).toBeGreaterThanOrEqual(6);
    for (const kind of typefaceKinds) {
      const [face] = await openTypeface(kind, 'A');
      expect(face.capHeight).toBeGreaterThan(0.4);
      expect(describeTypeface(kind).name.length).toBeGreaterThan(2);
    }
  });
});

const linesWith = (faces: readonly Font[], ...texts: string[]) =>
  texts.map((text) => setLine(text, faces));

describe('laying out', () => {
  it('fits words into their room', () => {
    const laid = fitInto(linesWith(sans, 'Nana'), { width: 90, height: 90 }, RULES);
    expect(laid.width).toBeLessThanOrEqual(90.001);
    expect(laid.width).toBeGreaterThan(89.5);
  });

  it.each([
    ['on a line', 'line', 1.5],
    ['in an arch', 'arch', 1.5],
    ['round a circle', 'circle', 1.5],
    ['in two lines', 'line', 0.9],
  ] as const)('keeps letters apart %s', (_, along, lineSpacing) => {
    const texts = along === 'line' ? ['AVATAR', 'ÄÖlily'] : ['AVATAR lily'];
    const laid = layOut(linesWith(sans, ...texts), 12, { ...RULES, along, lineSpacing });
    const shapes = drawLetters(laid, { x: 0, y: 0 }, 0).map(({ outer }) => flatten(outer, 0.01));
    if (along === 'line') expect(laid.tracked).toBeGreaterThan(0.1);
    shapes.forEach((one, i) =>
      shapes.slice(i + 1).forEach((other) => {
        expect(gapBetween([one], [other], 2)).toBeGreaterThan(1.58);
      }),
    );
  });

  it('leaves letters joined that join by design', async () => {
    const script = await openTypeface('script', '');
    const laid = layOut(linesWith(script, 'mama'), 20, { ...RULES, letterSpacing: 0.3 });
    expect(drawLetters(laid, { x: 0, y: 0 }, 0).length).toBe(1);
  });

  it('parts letters whose corners touch', async () => {
    const laid = layOut(linesWith(await openTypeface('sans', ''), 'vw'), 12, RULES);
    const shapes = drawLetters(laid, { x: 0, y: 0 }, 0).map(({ outer }) => flatten(outer, 0.01));
    expect(shapes.length).toBe(2);
    expect(gapBetween([shapes[0]], [shapes[1]], 2)).toBeGreaterThan(1.58);
  });

  it('leaves letters joined that join over a mark between them', async () => {
    const devanagari = await openTypeface('noto', 'स्मृति');
    const { letters } = layOut(linesWith(devanagari, 'स्मृति'), 20, { ...RULES, letterSpacing: 0.3 });
    // One line runs along the top of all of the word.
    expect(new Set(letters.map(({ unit }) => unit)).size).toBe(1);
  });

  it('turns all of it', () => {
    const flat = layOut(linesWith(sans, 'Nana'), 12, RULES);
    const down = layOut(linesWith(sans, 'Nana'), 12, { ...RULES, turned: Math.PI / 2 });
    expect(down.height).toBeCloseTo(flat.width, 6);
    expect(down.width).toBeCloseTo(flat.height, 6);
  });
});

describe('the smallest cap height', () => {
  const LIMITS = { narrowestOpening: 1.5, narrowestStrip: 1.6, smallestOpening: 3 };

  it('grows with the limits', () => {
    const lines = linesWith(sans, 'Nana');
    const least = leastCapHeight(lines, LIMITS);
    const twice = leastCapHeight(lines, {
      narrowestOpening: 3,
      narrowestStrip: 3.2,
      smallestOpening: 12,
    });
    expect(least).toBeGreaterThan(5);
    expect(twice).toBeCloseTo(2 * least, 6);
  });

  it('is that of the thinnest stroke', () => {
    // The stem of an I of this face is 0.303 of its cap height wide: measured on its outline.
    const [glyph] = sans[0].shape('I', { start: 0, end: 1, leftward: false });
    const [outline] = sans[0].outlines(glyph.id);
    const xs = outline.coords.filter((_, i) => i % 2 === 0);
    const stem = (Math.max(...xs) - Math.min(...xs)) / sans[0].capHeight;
    expect(leastCapHeight(linesWith(sans, 'I'), LIMITS)).toBeCloseTo(1.5 / stem, 0);
  });
});

describe('bridges of letters', () => {
  it('are the same for the same letter wherever it stands', () => {
    const laid = layOut(linesWith(sans, 'BOB', 'OB'), 30, RULES);
    const bridges = letterBridges(laid, { x: 0, y: 0 }, BRIDGES);
    const inLetter = (letter: number): string[] =>
      bridges
        .filter((bridge) => bridge.letter === letter)
        .map(({ from, to }) => {
          const { x, y, scale } = laid.letters[letter].place;
          return [from.x - x, from.y - y, to.x - x, to.y - y]
            .map((mm) => (mm / scale).toFixed(6))
            .join(' ');
        });
    expect(inLetter(0).length).toBe(3);
    expect(inLetter(2)).toEqual(inLetter(0));
    expect(inLetter(4)).toEqual(inLetter(0));
    expect(inLetter(3)).toEqual(inLetter(1));
  });

  /** A ring, from 0 to 2 across and down. */
  const ring = (): { outer: Float64Array; holes: Float64Array[] }[] => [
    { outer: flatten(circle(1, 1, 1), 0.001), holes: [flatten(circle(1, 1, 0.6), 0.001)] },
  ];
  const rules = { axis: 0, width: 0.2, opening: 0.1, smallCounter: 0.1, largeCounter: 10 } as const;

  it('hold a round counter at both ends, in its middle', () => {
    const bridges = counterBridges(ring(), rules);
    expect(bridges.length).toBe(2);
    for (const { from, to } of bridges) {
      expect(from.x).toBeCloseTo(1, 2);
      expect(to.x).toBeCloseTo(1, 2);
      expect(Math.abs(to.y - from.y)).toBeCloseTo(0.4, 1);
    }
  });

  it('hold a small one by one', () => {
    expect(counterBridges(ring(), { ...rules, smallCounter: 2 }).length).toBe(1);
  });

  it('run level, or leaning, where that is wanted', () => {
    for (const { from, to } of counterBridges(ring(), { ...rules, axis: Math.PI / 2 }))
      expect(Math.abs(to.y - from.y)).toBeLessThan(0.01);
    for (const { from, to } of counterBridges(ring(), { ...rules, axis: 0.3 }))
      expect((from.x - to.x) / (to.y - from.y)).toBeCloseTo(Math.tan(0.3), 6);
  });

  it('lie flush with a stem', () => {
    const bridges = counterBridges(
      [
        {
          // A box of a D: a stem from 0 to 0.3, bars of 0.2, a bow at the right.
          outer: Float64Array.of(0, 0, 0.9, 0, 1.1, 0.2, 1.1, 0.8, 0.9, 1, 0, 1),
          holes: [Float64Array.of(0.3, 0.2, 0.3, 0.8, 0.8, 0.8, 0.8, 0.2)],
        },
      ],
      { ...rules, width: 0.1 },
    );
    expect(bridges.map(({ from }) => from.x)).toEqual([
      expect.closeTo(0.35, 6),
      expect.closeTo(0.35, 6),
    ]);
  });

  it('lie alike in letters that are alike: in the middle where one of them has no straight stem', async () => {
    const lines = [setLine('bdpq', await openTypeface('hand', 'bdpq'))];
    const laid = layOut(lines, 26, RULES);
    const bridges = letterBridges(laid, { x: 0, y: 0 }, BRIDGES);
    const offs = laid.letters.map(({ glyph, place }, letter) => {
      const [hole] = inkOf(glyph.face, glyph.id).regions.flatMap(({ holes }) => holes);
      const { left, right } = boundsOfLoops([hole]);
      const own = bridges.filter((bridge) => bridge.letter === letter);
      expect(own.length).toBe(2);
      // From the middle of the counter, as a share of its width.
      return own.map(({ from }) => ((from.x - place.x) / place.scale - left) / (right - left));
    });
    for (const off of offs.flat()) expect(Math.abs(off - 0.5)).toBeLessThan(0.2);
  });

  it('are narrower where a counter is', () => {
    const widths = (cap: number): number => {
      const laid = layOut(linesWith(sans, 'ae'), cap, RULES);
      return letterBridges(laid, { x: 0, y: 0 }, BRIDGES)[0].widthMm;
    };
    expect(widths(40)).toBe(2.4);
    expect(widths(15)).toBeLessThan(2.4);
    expect(widths(8)).toBe(1.6);
  });
});

describe('small rounds', () => {
  it('become few corners that stay near them', () => {
    const round = roundedSquare(0, 0, 10, 0.6);
    const squared = squaredTurns(round, 1);
    expect(squared.corner.reduce((sum, flag) => sum + flag, 0)).toBe(8);
    expect(withTightTurnsMarked(squared, 1)).toEqual(squared);
    const points = flatten(round, 0.001);
    expect(gapBetween([flatten(squared, 0.001)], [points], 1)).toBe(0);
  });

  it('stay round where corners would not be near them, and keep the end of a stroke', () => {
    // A bar with a hook at its end: a round tip, and a tight bend the other way before it.
    const hook = letterOf('t');
    const squared = squaredTurns(hook, 3);
    const [own, made] = [hook, squared].map((outline) => flatten(outline, 0.001));
    const off = Math.max(...pointsOf(own).map((point) => gapBetween([point], [made], 5)));
    expect(off).toBeLessThan(0.2);
    // A bowl of 2 mm is too large to be a polygon.
    const bowl = circle(5, 5, 2);
    expect(squaredTurns(bowl, 3)).toBe(bowl);
  });

  /** A letter of the hand's, its capitals 10.2 mm high. */
  const letterOf = (text: string): Outline => {
    const [{ face, id }] = setLine(text, hand).glyphs;
    const [outline] = face.outlines(id);
    const scale = 10.2 / face.capHeight;
    return { ...outline, coords: outline.coords.map((value) => value * scale) };
  };

  const pointsOf = (loop: Float64Array): Float64Array[] =>
    Array.from({ length: loop.length / 2 }, (_, i) => loop.slice(2 * i, 2 * i + 2));

  it('stay where the tip can follow', () => {
    const round = roundedSquare(0, 0, 10, 2);
    expect(squaredTurns(round, 1)).toBe(round);
  });
});

describe('edits of bridges', () => {
  const letter = (text: string, x: number, scale = 20) => ({
    text,
    line: 0,
    x,
    y: 50,
    angle: 0,
    scale,
  });
  const before = [letter('N', 10), letter('o', 26)];

  it('go with their letter when the words change', () => {
    const { edits, left } = carriedEdits(
      [
        { do: 'remove', at: [31, 45] },
        { do: 'add', from: [12, 40], to: [16, 40] },
      ],
      before,
      [letter('o', 60, 40)],
    );
    expect(edits).toEqual([{ do: 'remove', at: [70, 40] }]);
    expect(left).toBe(1);
  });

  it('stay where they are beside all letters', () => {
    const edits = [{ do: 'remove', at: [90, 90] }] as const;
    expect(carriedEdits(edits, before, [])).toEqual({ edits, left: 0 });
  });
});
