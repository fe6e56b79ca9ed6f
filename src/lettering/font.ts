import { readFile } from 'node:fs/promises';
import { inflateSync } from 'node:zlib';
import type * as HarfBuzz from 'harfbuzzjs';
import { Problem } from '../settings/problem.js';
import { flatten } from '../geometry/flatten.js';
import type { Outline } from '../geometry/shape.js';
import { shapeRun, type TextRun } from './shaping.js';
import { toOutlines } from './glyph-outlines.js';

/** A glyph of a shaped run, in the order of the page from left to right; lengths in ems, y up. */
interface ShapedGlyph {
  readonly id: number;
  /** Where the first of its characters stands in the text. */
  readonly cluster: number;
  readonly advance: number;
  /** Where it is drawn, from where the pen is. */
  readonly right: number;
  readonly up: number;
}

/** A font that was opened: it shapes text and draws glyphs. */
export interface Font {
  /** What a person knows it by. */
  readonly name: string;
  /** The height of a capital, in ems. */
  readonly capHeight: number;
  /** From baseline to baseline by its own word, in ems. */
  readonly lineHeight: number;
  /** How far it leans to the right, in radians; 0 for an upright one. */
  readonly slant: number;
  readonly has: (codePoint: number) => boolean;
  readonly shape: (text: string, run: TextRun) => readonly ShapedGlyph[];
  /** A glyph's contours in ems, y down, as they are in the font: they may overlap. */
  readonly outlines: (glyph: number) => readonly Outline[];
}

type Engine = typeof HarfBuzz;

let engine: Promise<Engine> | undefined;

/** Opens a font's bytes: TrueType, OpenType, WOFF or WOFF 2. */
export async function openFont(bytes: Uint8Array, name: string, weight?: number): Promise<Font> {
  const sfnt = await unpacked(bytes, name);
  engine ??= import('harfbuzzjs');
  const harfbuzz = await engine;
  const face = new harfbuzz.Face(new harfbuzz.Blob(sfnt));
  if (face.collectUnicodes().length === 0) throw brokenFont(name, 'it has no letters');
  honourEmbedding(face.referenceTable('OS/2'), name);
  const font = new harfbuzz.Font(face);
  if (!drawsAny(face, font)) {
    throw brokenFont(
      name,
      'none of its letters can be drawn: it is damaged, encrypted, or of pixels',
    );
  }
  if (widthsAreWrong(face, font)) {
    throw brokenFont(name, 'the widths of its letters are damaged, or encrypted');
  }
  if (weight !== undefined) font.setVariations([new harfbuzz.Variation('wght', weight)]);
  return faceOf(harfbuzz, face, font, name);
}

/** So many characters of a font are tried for an outline: some, as spaces, have none. */
const TRIED = 200;

function drawsAny(face: HarfBuzz.Face, font: HarfBuzz.Font): boolean {
  return Array.from(face.collectUnicodes())
    .slice(0, TRIED)
    .some((codePoint) => {
      const glyph = font.nominalGlyph(codePoint);
      return glyph !== undefined && font.glyphToJson(glyph).length > 0;
    });
}

/** A letter takes at least such a share of what is drawn of it, and at most so many times that and ems more. */
const LEAST_WIDTH = 0.3;
const [MOST_WIDTH, MOST_EMS_MORE] = [3, 0.5];

/** Whether most letters take a width that has nothing to do with how wide they are drawn. */
function widthsAreWrong(face: HarfBuzz.Face, font: HarfBuzz.Font): boolean {
  let [right, wrong] = [0, 0];
  for (const codePoint of Array.from(face.collectUnicodes()).slice(0, TRIED)) {
    const glyph = font.nominalGlyph(codePoint);
    const drawn = glyph === undefined ? undefined : font.glyphExtents(glyph);
    // Marks take none.
    if (glyph === undefined || !drawn || !/\p{L}/u.test(String.fromCodePoint(codePoint))) continue;
    const advance = font.glyphHAdvance(glyph);
    const most = MOST_WIDTH * drawn.width + MOST_EMS_MORE * face.upem;
    if (advance >= LEAST_WIDTH * drawn.width && advance <= most) right++;
    else wrong++;
  }
  return wrong > right;
}

/** Opens a font file. */
export async function readFont(path: string): Promise<Font> {
  let bytes: Uint8Array;
  try {
    bytes = await readFile(path);
  } catch (error) {
    throw new Problem(
      'The typeface file can’t be read',
      path,
      'Check the name and the folder, or choose a typeface from stencilwright words --list',
      { cause: error },
    );
  }
  return openFont(bytes, path);
}

function faceOf(harfbuzz: Engine, face: HarfBuzz.Face, font: HarfBuzz.Font, name: string): Font {
  const inEms = (units: number): number => units / face.upem;
  const drawn = new Map<number, readonly Outline[]>();
  const outlines = (glyph: number): readonly Outline[] => {
    const known = drawn.get(glyph);
    if (known) return known;
    const made = toOutlines(font.glyphToJson(glyph), face.upem);
    drawn.set(glyph, made);
    return made;
  };
  const { ascender, descender, lineGap } = font.hExtents();
  return {
    name,
    capHeight: capHeightOf(face, font),
    lineHeight: inEms(ascender - descender + lineGap),
    slant: slantOf(face.referenceTable('post')) || drawnSlant(font, outlines),
    has: (codePoint) => font.nominalGlyph(codePoint) !== undefined,
    outlines,
    shape: (text, run) => {
      const { infos, positions } = shapeRun(harfbuzz, font, text, run);
      return infos.map(({ codepoint: id, cluster }, i) => {
        const { xAdvance, xOffset, yOffset } = positions[i];
        const [advance, right, up] = [xAdvance, xOffset, yOffset].map(inEms);
        return { id, cluster, advance, right, up };
      });
    },
  };
}

/** Of a flat capital, as it is drawn; of a script without capitals, what its font says, or a usual share. */
function capHeightOf(face: HarfBuzz.Face, font: HarfBuzz.Font): number {
  const glyph = font.nominalGlyph('H'.codePointAt(0)!);
  const extents = glyph === undefined ? undefined : font.glyphExtents(glyph);
  if (extents && extents.yBearing > 0) return extents.yBearing / face.upem;
  const os2 = face.referenceTable('OS/2');
  // Version 2 and later: sCapHeight at byte 88 (OpenType 1.9.1, OS/2).
  if (os2 && os2.length >= 90 && viewOf(os2).getUint16(0) >= 2) {
    const said = viewOf(os2).getInt16(88);
    if (said > 0) return said / face.upem;
  }
  return USUAL_CAP_HEIGHT;
}

/** In ems: that of most text faces. Common practice, no source. */
const USUAL_CAP_HEIGHT = 0.7;

/** `italicAngle` of the table post, a 16.16 number of degrees, negative to the right (OpenType 1.9.1). */
function slantOf(post: Uint8Array | undefined): number {
  if (!post || post.length < 8) return 0;
  return (-viewOf(post).getInt32(4) / 65536 / 180) * Math.PI;
}

/** Letters whose stems show how a face stands. */
const WITH_STEMS = 'HIiljtdhnmupbk';
/** A side that leans further is a diagonal, and a face that leans less stands upright, in radians. */
const MOST_LEAN = 0.55;
const LEAST_LEAN = 0.05;
/** How far the outlines may lie off their curves, in ems. */
const STEM_TOLERANCE = 0.004;

/** How far a face leans as it is drawn, where its font does not say: the middle one of its stems' sides, by length. */
function drawnSlant(font: HarfBuzz.Font, outlines: (glyph: number) => readonly Outline[]): number {
  const sides: { readonly lean: number; readonly length: number }[] = [];
  for (const letter of WITH_STEMS) {
    const glyph = font.nominalGlyph(letter.codePointAt(0)!);
    if (glyph === undefined) continue;
    for (const outline of outlines(glyph)) {
      const points = flatten(outline, STEM_TOLERANCE);
      for (let i = 0; i < points.length; i += 2) {
        const j = (i + 2) % points.length;
        const [dx, dy] = [points[j] - points[i], points[i + 1] - points[j + 1]];
        const lean = Math.atan2(dx * Math.sign(dy), Math.abs(dy));
        if (Math.abs(lean) < MOST_LEAN) sides.push({ lean, length: Math.hypot(dx, dy) });
      }
    }
  }
  sides.sort((a, b) => a.lean - b.lean);
  let half = sides.reduce((sum, { length }) => sum + length, 0) / 2;
  const middle = sides.find(({ length }) => (half -= length) <= 0)?.lean ?? 0;
  return Math.abs(middle) < LEAST_LEAN ? 0 : middle;
}

const viewOf = ({ buffer, byteOffset, byteLength }: Uint8Array): DataView =>
  new DataView(buffer, byteOffset, byteLength);

/** Bits of `fsType` (OpenType 1.9.1, OS/2): not without its maker's leave; as pixels only. */
const RESTRICTED = 0x0002;
const PIXELS_ONLY = 0x0200;

/** Keeps to what a font allows: a stencil holds its outlines, as a document in which it is embedded does. */
function honourEmbedding(os2: Uint8Array | undefined, name: string): void {
  if (!os2 || os2.length < 10) return;
  const fsType = viewOf(os2).getUint16(8);
  const isRestricted = (fsType & 0x000f) === RESTRICTED;
  if (!isRestricted && (fsType & PIXELS_ONLY) === 0) return;
  throw new Problem(
    'The typeface says that its letters may not be put into documents, and a stencil is one',
    name,
    'Ask its maker for a licence and a file that allow it, or take another typeface',
  );
}

function brokenFont(name: string, why: string, cause?: unknown): Problem {
  return new Problem(
    `The typeface file can’t be used: ${why}`,
    name,
    'Get the file anew, or take another; it should end in .ttf, .otf, .woff or .woff2',
    cause === undefined ? undefined : { cause },
  );
}

/** First bytes of the kinds (OpenType 1.9.1; WOFF File Format 1.0; WOFF File Format 2.0). */
const SFNT = new Set(['\u0000\u0001\u0000\u0000', 'OTTO', 'true']);

async function unpacked(bytes: Uint8Array, name: string): Promise<Uint8Array> {
  const kind = String.fromCharCode(...bytes.subarray(0, 4));
  if (SFNT.has(kind)) {
    if (isCutShort(bytes)) throw brokenFont(name, 'it is cut short');
    return bytes;
  }
  try {
    if (kind === 'wOFF') return fromWoff(bytes);
    if (kind === 'wOF2') {
      const { default: decompress } = await import('woff2-encoder/decompress');
      return await decompress(bytes);
    }
  } catch (error) {
    throw brokenFont(name, 'it is damaged', error);
  }
  throw brokenFont(name, whatElse(bytes));
}

/** The bit of a packed file's flags that says that it is encrypted (APPNOTE.TXT 6.3.10, 4.4.4), and where they are. */
const ZIP_FLAGS = 6;
const ZIP_ENCRYPTED = 1;
/** Where a font for old browsers has its own number, and which (Embedded OpenType File Format, W3C submission 2008). */
const EOT_MAGIC_AT = 34;
const EOT_MAGIC = 0x504c;

/** What a file is that is no typeface of the kinds that can be read, as far as its first bytes tell. */
function whatElse(bytes: Uint8Array): string {
  const begins = (text: string): boolean =>
    String.fromCharCode(...bytes.subarray(0, text.length)) === text;
  if (bytes.length === 0) return 'it is empty';
  if (begins('ttcf')) return 'it holds several typefaces, and only one can be taken';
  if (begins('PK\u0003\u0004')) {
    return (bytes[ZIP_FLAGS] & ZIP_ENCRYPTED) === ZIP_ENCRYPTED
      ? 'it is a packed folder (ZIP) that is locked with a password; the typeface in it may do'
      : 'it is a packed folder (ZIP); the typeface in it may do, once it is unpacked';
  }
  if (begins('%PDF')) return 'it is a document (PDF), and typefaces can’t be taken out of that';
  // A Type 1 font begins with a line of PostScript; in a .pfb there are six bytes before it.
  if (begins('%!') || begins('\u0080\u0001')) {
    return 'it is an old PostScript typeface (Type 1), whose letters are encrypted';
  }
  const isForOldBrowsers =
    bytes.length > EOT_MAGIC_AT + 1 && viewOf(bytes).getUint16(EOT_MAGIC_AT, true) === EOT_MAGIC;
  if (isForOldBrowsers) return 'it is a typeface for old browsers (.eot)';
  return 'it is no typeface that can be read, or it is encrypted';
}

/** Whether a table of a font lies beyond the end of its file. */
function isCutShort(bytes: Uint8Array): boolean {
  const view = viewOf(bytes);
  if (bytes.length < SFNT_HEADER) return true;
  const count = view.getUint16(4);
  if (bytes.length < SFNT_HEADER + SFNT_ENTRY * count) return true;
  return Array.from({ length: count }, (_, i) => SFNT_HEADER + SFNT_ENTRY * i).some(
    (at) => view.getUint32(at + 8) + view.getUint32(at + 12) > bytes.length,
  );
}

/** Sizes in bytes of the header and of a table's entry (WOFF File Format 1.0, sections 4 and 5). */
const WOFF_HEADER = 44;
const WOFF_ENTRY = 20;
const SFNT_HEADER = 12;
const SFNT_ENTRY = 16;

/** The font in a WOFF file: its tables, unpacked by zlib. */
function fromWoff(bytes: Uint8Array): Uint8Array {
  const view = viewOf(bytes);
  const count = view.getUint16(12);
  const tables = Array.from({ length: count }, (_, i) => {
    const at = WOFF_HEADER + WOFF_ENTRY * i;
    const [tag, offset, packed, length, sum] = [0, 4, 8, 12, 16].map((on) =>
      view.getUint32(at + on),
    );
    const raw = bytes.subarray(offset, offset + packed);
    const data = packed < length ? new Uint8Array(inflateSync(raw)) : raw;
    if (data.length !== length) throw new Error('a table is cut short');
    return { tag, sum, data };
  });
  const padded = (length: number): number => (length + 3) & ~3;
  const head = SFNT_HEADER + SFNT_ENTRY * count;
  const sfnt = new Uint8Array(tables.reduce((sum, { data }) => sum + padded(data.length), head));
  const out = viewOf(sfnt);
  out.setUint32(0, view.getUint32(4));
  out.setUint16(4, count);
  let offset = head;
  tables.forEach(({ tag, sum, data }, i) => {
    [tag, sum, offset, data.length].forEach((value, k) =>
      out.setUint32(SFNT_HEADER + SFNT_ENTRY * i + 4 * k, value),
    );
    sfnt.set(data, offset);
    offset += padded(data.length);
  });
  return sfnt;
}
