import { shapeRun, type TextRun } from '../../lettering/shaping.js';
import { readFile } from 'node:fs/promises';
import { createRequire } from 'node:module';
import type * as HarfBuzz from 'harfbuzzjs';
import {
  bare,
  FAMILIES,
  fontFileOf,
  fontPathOf,
  rangesOf,
  type Family,
  type Weight,
} from '../../built-in/typefaces.js';

/*
 * Finds the typeface for a character among the families of src/built-in/typefaces.ts, loads, shapes and cuts down. That
 * is done by HarfBuzz: the shaper that the PDF library brings takes Burmese apart, and can't embed a variable typeface
 * at a weight.
 *
 * Nothing is loaded before a text asks for it.
 */

const require = createRequire(import.meta.url);

/** One part of a family at a weight, as it is named in a PDF: "NotoSansArabic-Arabic-Bold". */
export interface Typeface {
  readonly name: string;
  readonly file: string;
  readonly weight: Weight;
  readonly isVariable: boolean;
  readonly holds: (codePoint: number) => boolean;
}

/** A glyph of a shaped text, in the order of the page from left to right; lengths in ems. */
export interface Glyph {
  readonly id: number;
  /** What it stands for. Where several glyphs stand for the same characters, the widest has them, the others ''. */
  readonly text: string;
  readonly advance: number;
  /** Where it is drawn, from where the pen is. */
  readonly right: number;
  readonly up: number;
}

/** The typeface for a character: the one before it where that has it too. Which have it is certain once they are loaded. */
export function typefaceFor(
  codePoint: number,
  weight: Weight,
  before?: Typeface,
): Typeface | undefined {
  const holds = (typeface: Typeface): boolean =>
    typeface.holds(codePoint) && (!isLoaded(typeface) || hasGlyph(typeface, codePoint));
  if (before && (holds(before) || hasSpace(before, codePoint))) return before;
  for (const family of FAMILIES) {
    const found = typefacesOf(family, weight).find(holds);
    if (found) return found;
  }
  return undefined;
}

/** The code point of the space (Unicode, Basic Latin). */
export const SPACE = 0x20;

/** Parts have a space that their ranges do not name: with it, a line stays in one typeface. That of the emoji is too wide. */
function hasSpace(typeface: Typeface, codePoint: number): boolean {
  const isOfText = typeface.name.startsWith('NotoSans');
  return codePoint === SPACE && isOfText && isLoaded(typeface) && hasGlyph(typeface, SPACE);
}

const known = new Map<string, readonly Typeface[]>();

function typefacesOf(family: Family, weight: Weight): readonly Typeface[] {
  const key = `${family.name} ${weight}`;
  const there = known.get(key);
  if (there) return there;
  const parts = Object.entries(rangesOf(family)).map(([part, range]): Typeface => {
    const style = weight === 700 ? 'bold' : 'regular';
    const name = [family.name, bare(part), style].map(inOneWord).join('-');
    const file = fontPathOf(family, fontFileOf(family, part, weight));
    return { name, file, weight, isVariable: family.fixed !== true, holds: inRanges(range) };
  });
  known.set(key, parts);
  return parts;
}

const inOneWord = (text: string): string =>
  text.replace(/(?:^|-)(\w)/g, (_, letter: string) => letter.toUpperCase());

/** Of a CSS unicode-range: "U+0100-02BA,U+02BD" (CSS Fonts Level 4). */
function inRanges(text: string): (codePoint: number) => boolean {
  const ranges = text.split(',').map((range) => {
    const [first, last = first] = range.trim().slice(2).split('-');
    return [parseInt(first, 16), parseInt(last, 16)] as const;
  });
  return (codePoint) => ranges.some(([first, last]) => codePoint >= first && codePoint <= last);
}

interface Loaded {
  readonly sfnt: Uint8Array;
  readonly font: HarfBuzz.Font;
  readonly unitsPerEm: number;
}

interface FontEngine {
  readonly harfbuzz: typeof HarfBuzz;
  readonly subset: SubsetExports;
}

let engine: FontEngine | undefined;
const loaded = new Map<string, Loaded>();

/** Whether a typeface can be used at once. */
export function isLoaded({ name }: Typeface): boolean {
  return loaded.has(name);
}

/** Loads typefaces, and what shapes them. */
export async function loadTypefaces(typefaces: readonly Typeface[]): Promise<void> {
  const [{ harfbuzz }, { default: decompress }] = await Promise.all([
    loadEngine(),
    import('woff2-encoder/decompress'),
  ]);
  for (const typeface of typefaces) {
    const { name, file, weight, isVariable } = typeface;
    if (isLoaded(typeface)) continue;
    const sfnt = await decompress(await readFile(file));
    const face = new harfbuzz.Face(new harfbuzz.Blob(sfnt));
    const font = new harfbuzz.Font(face);
    if (isVariable) font.setVariations([new harfbuzz.Variation('wght', weight)]);
    loaded.set(name, { sfnt, font, unitsPerEm: face.upem });
  }
}

async function loadEngine(): Promise<FontEngine> {
  if (engine) return engine;
  const [harfbuzz, wasm] = await Promise.all([
    import('harfbuzzjs'),
    readFile(require.resolve('harfbuzzjs/dist/harfbuzz-subset.wasm')),
  ]);
  const { exports } = new WebAssembly.Instance(new WebAssembly.Module(wasm));
  const subset = exports as unknown as SubsetExports;
  subset._initialize();
  engine = { harfbuzz, subset };
  return engine;
}

function use({ name }: Typeface): Loaded & FontEngine {
  const found = loaded.get(name);
  if (!found || !engine) throw new Error(`The typeface ${name} is not loaded`);
  return { ...found, ...engine };
}

/** Whether a loaded typeface has a glyph for a character by itself. */
function hasGlyph(typeface: Typeface, codePoint: number): boolean {
  return use(typeface).font.nominalGlyph(codePoint) !== undefined;
}

/** Shapes a run of a text by a loaded typeface. */
export function shape(typeface: Typeface, text: string, run: TextRun): Glyph[] {
  const { harfbuzz, font, unitsPerEm } = use(typeface);
  const { infos, positions } = shapeRun(harfbuzz, font, text, run);
  const starts = [...new Set(infos.map(({ cluster }) => cluster))].sort((a, b) => a - b);
  const widest = new Map<number, number>();
  infos.forEach(({ cluster }, i) => {
    const other = widest.get(cluster);
    if (other === undefined || positions[i].xAdvance > positions[other].xAdvance)
      widest.set(cluster, i);
  });
  return infos.map(({ codepoint: id, cluster }, i) => {
    const { xAdvance, xOffset, yOffset } = positions[i];
    const next = starts.find((other) => other > cluster) ?? run.end;
    const stands = widest.get(cluster) === i ? text.slice(cluster, next) : '';
    const inEms = (units: number): number => units / unitsPerEm;
    const [advance, right, up] = [xAdvance, xOffset, yOffset].map(inEms);
    return { id, text: stands, advance, right, up };
  });
}

/** How wide a glyph of a loaded typeface is by itself, in ems. */
export function widthOf(typeface: Typeface, id: number): number {
  const { font, unitsPerEm } = use(typeface);
  return font.glyphHAdvance(id) / unitsPerEm;
}

/** What a PDF wants to know of a typeface, in ems. */
export function heightsOf(typeface: Typeface): {
  readonly ascent: number;
  readonly descent: number;
} {
  const { font, unitsPerEm } = use(typeface);
  const { ascender, descender } = font.hExtents();
  return { ascent: ascender / unitsPerEm, descent: descender / unitsPerEm };
}

/** The functions of HarfBuzz's subsetter as compiled to WebAssembly: pointers are numbers (its hb-subset.h). */
interface SubsetExports {
  readonly memory: WebAssembly.Memory;
  _initialize(): void;
  malloc(bytes: number): number;
  free(pointer: number): void;
  hb_blob_create(data: number, length: number, mode: number, user: number, destroy: number): number;
  hb_blob_destroy(blob: number): void;
  hb_blob_get_length(blob: number): number;
  hb_blob_get_data(blob: number, length: number): number;
  hb_face_create(blob: number, index: number): number;
  hb_face_destroy(face: number): void;
  hb_face_reference_blob(face: number): number;
  hb_set_add(set: number, value: number): void;
  hb_subset_input_create_or_fail(): number;
  hb_subset_input_destroy(input: number): void;
  hb_subset_input_glyph_set(input: number): number;
  hb_subset_input_set(input: number, which: number): number;
  hb_subset_input_set_flags(input: number, flags: number): void;
  hb_subset_input_pin_axis_location(input: number, face: number, axis: number, at: number): number;
  hb_subset_or_fail(face: number, input: number): number;
}

/** Of hb-subset.h: without hinting, glyphs keep their numbers, no glyphs that only substitution would bring. */
const FLAGS = 0x1 | 0x2 | 0x200;
/** HB_SUBSET_SETS_DROP_TABLE_TAG of hb-subset.h, and HB_MEMORY_MODE_WRITABLE of hb-blob.h. */
const DROPPED_TABLES = 3;
const MAY_BE_WRITTEN = 2;
/** Shaping is done, and names are not wanted. */
const NOT_WANTED = ['GSUB', 'GPOS', 'GDEF', 'STAT', 'DSIG', 'meta'];

const tagOf = (text: string): number =>
  Array.from(text).reduce((tag, letter) => tag * 256 + letter.charCodeAt(0), 0);

/** A TrueType font of some glyphs of a loaded typeface, which keep their numbers, at its weight. */
export function subsetOf(typeface: Typeface, glyphs: Iterable<number>): Uint8Array {
  const { sfnt, subset: hb } = use(typeface);
  const data = hb.malloc(sfnt.length);
  new Uint8Array(hb.memory.buffer).set(sfnt, data);
  const blob = hb.hb_blob_create(data, sfnt.length, MAY_BE_WRITTEN, 0, 0);
  const face = hb.hb_face_create(blob, 0);
  const input = hb.hb_subset_input_create_or_fail();
  for (const id of glyphs) hb.hb_set_add(hb.hb_subset_input_glyph_set(input), id);
  for (const table of NOT_WANTED)
    hb.hb_set_add(hb.hb_subset_input_set(input, DROPPED_TABLES), tagOf(table));
  hb.hb_subset_input_set_flags(input, FLAGS);
  if (typeface.isVariable)
    hb.hb_subset_input_pin_axis_location(input, face, tagOf('wght'), typeface.weight);
  const part = hb.hb_subset_or_fail(face, input);
  if (part === 0) throw new Error(`The typeface ${typeface.name} could not be cut down`);
  const made = hb.hb_face_reference_blob(part);
  const at = hb.hb_blob_get_data(made, 0);
  const bytes = new Uint8Array(hb.memory.buffer, at, hb.hb_blob_get_length(made)).slice();
  hb.hb_blob_destroy(made);
  hb.hb_face_destroy(part);
  hb.hb_subset_input_destroy(input);
  hb.hb_face_destroy(face);
  hb.hb_blob_destroy(blob);
  hb.free(data);
  return bytes;
}
