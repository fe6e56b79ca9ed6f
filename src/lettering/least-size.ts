import { findNecks } from '../geometry/necks.js';
import { signedArea } from '../geometry/signed-area.js';
import type { Outline, Shape } from '../geometry/shape.js';
import type { Job } from '../settings/job.js';
import { extentOf } from './gaps.js';
import { inkOf } from './ink.js';
import type { SetGlyph, SetLine } from './typeset.js';

type Limits = Pick<Job, 'narrowestOpening' | 'narrowestStrip' | 'smallestOpening'>;

/** What of a face's letters has to be larger than a limit, as shares of the cap height. */
interface LetterFigures {
  /** The thinnest stroke, and the narrowest counter across. */
  readonly stroke: number;
  readonly counter: number;
  /** The side of a square as large as the smallest part, such as a dot. */
  readonly part: number;
}

/**
 * The smallest cap height, in mm, at which all strokes of some letters are as wide as an opening must be, a strip of
 * film fits into every counter, and no dot is too small to cut.
 */
export function leastCapHeight(lines: readonly SetLine[], limits: Limits): number {
  const { stroke, counter, part } = figuresOf(lines);
  return Math.max(
    limits.narrowestOpening / stroke,
    limits.narrowestStrip / counter,
    Math.sqrt(limits.smallestOpening) / part,
  );
}

/** What the three limits are held against, for some letters. */
function figuresOf(lines: readonly SetLine[]): LetterFigures {
  const glyphs = uniqueGlyphs(lines);
  const cap = glyphs[0]?.face.capHeight ?? 1;
  const regions = glyphs.flatMap(({ face, id }) => inkOf(face, id).regions);
  const areas = regions.map(({ outer, holes }) =>
    [outer, ...holes].reduce((sum, loop) => sum + signedArea(loop), 0),
  );
  const widths = regions.flatMap(({ holes }) =>
    holes.map((hole) => {
      const { left, right } = extentOf([hole]);
      return right - left;
    }),
  );
  return {
    stroke: thinnestStroke(glyphs) / cap,
    counter: Math.min(Infinity, ...widths) / cap,
    part: Math.sqrt(Math.min(Infinity, ...areas)) / cap,
  };
}

function uniqueGlyphs(lines: readonly SetLine[]): SetGlyph[] {
  const found: SetGlyph[] = [];
  for (const glyph of lines.flatMap(({ glyphs }) => glyphs)) {
    if (glyph.face.outlines(glyph.id).length === 0) continue;
    if (found.some(({ face, id }) => face === glyph.face && id === glyph.id)) continue;
    found.push(glyph);
  }
  return found;
}

/** mm an em for measuring: strokes are then some millimetres wide, as on a card. */
const SCALE = 30;
/** From letter to letter, in ems, so that they do not meet. */
const APART = 2.2;
/** Where in its place a letter's origin stands, as shares of that. */
const FIRST = { x: 0.25, y: 0.7 };
/** Between these shares of an em lies the thinnest stroke of any face; found by halving. */
const [THINNEST, THICKEST] = [0.01, 0.5];
const HALVINGS = 7;
/** What a width may be short of the one that is tried, as a share: what measuring is off by. */
const SHORT = 0.03;

/** The thinnest stroke of some letters, in ems, by the measure that the finished stencil is checked with. */
function thinnestStroke(glyphs: readonly SetGlyph[]): number {
  const across = Math.ceil(Math.sqrt(glyphs.length));
  const side = across * APART * SCALE;
  const shapes = glyphs.flatMap(({ face, id }, i): Shape[] => {
    const [x, y] = [(i % across) + FIRST.x, Math.floor(i / across) + FIRST.y].map(
      (at) => at * APART,
    );
    const at = (loop: Float64Array): Outline =>
      polygonOutline(loop.map((value, k) => (value + (k % 2 ? y : x)) * SCALE));
    return inkOf(face, id).regions.map(({ outer, holes }) => ({
      outer: at(outer),
      holes: holes.map(at),
    }));
  });
  const isWide = (limit: number): boolean =>
    findNecks(shapes, { widthMm: side, heightMm: side }, { film: limit, opening: limit }).every(
      ({ region, widthMm }) => region === 'film' || widthMm >= limit * (1 - SHORT),
    );
  let [good, bad] = [THINNEST, THICKEST];
  for (let halving = 0; halving < HALVINGS; halving++) {
    const middle = Math.sqrt(good * bad);
    if (isWide(middle * SCALE)) good = middle;
    else bad = middle;
  }
  return good;
}

/** A polygon as an outline of straight lines. */
function polygonOutline(points: Float64Array): Outline {
  const count = points.length / 2;
  const coords = new Float64Array(6 * count);
  for (let i = 0; i < count; i++) {
    const j = (i + 1) % count;
    for (const k of [0, 1]) {
      const [from, to] = [points[2 * i + k], points[2 * j + k]];
      coords[6 * i + k] = from;
      coords[6 * i + 2 + k] = from + (to - from) / 3;
      coords[6 * i + 4 + k] = to + (from - to) / 3;
    }
  }
  return { coords, straight: new Uint8Array(count).fill(1), corner: new Uint8Array(count) };
}
