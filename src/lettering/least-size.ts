import { findNecks, type Neck } from '../geometry/necks.js';
import type { Region } from '../geometry/boolean-operations.js';
import { signedArea } from '../geometry/signed-area.js';
import type { Outline, Shape } from '../geometry/shape.js';
import type { Sheet } from '../settings/card.js';
import type { Job } from '../settings/job.js';
import { boundsOfLoops } from '../geometry/bounding-box.js';
import { inkOf } from './ink.js';
import type { Font } from './font.js';
import type { SetGlyph, SetLine } from './typeset.js';
import { withWideGaps } from './widened-gaps.js';

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
 * The smallest cap height, in mm, at which some letters keep their shape: their strokes and counters are wide enough
 * (`leastForParts`), and their mouths too, or can be made so without a stroke that breaks or becomes too thin.
 */
export function leastCapHeight(lines: readonly SetLine[], limits: Limits): number {
  const glyphs = uniqueGlyphs(lines);
  const cap = glyphs[0]?.face.capHeight ?? 1;
  let least = leastForParts(lines, limits);
  // A mouth that is no part of the film at one size may be one at a larger size: all are looked at again.
  for (let round = 0, before = 0; round < MOST_ROUNDS && before !== least; round++) {
    before = least;
    for (const glyph of glyphs) {
      for (let tries = 0; tries < MOST_STEPS; tries++) {
        if (atSize(glyph, least / cap, limits) === 'whole') break;
        least = nextOnLadder(least, limits);
      }
    }
  }
  return least;
}

/** A size at which a letter's mouths break it is tried again so many times larger, and so often at the most. */
const LARGER = 1.04;
const MOST_STEPS = 16;
/** A size at which another letter's mouths break is gone on from so often at the most. */
const MOST_ROUNDS = 4;
/** What a logarithm may be off by. */
const ROUNDING = 1e-9;

/**
 * The smallest cap height, in mm, at which all strokes of some letters are as wide as an opening must be, a strip of
 * film fits into every counter, or very nearly, and no dot is too small to cut.
 */
export function leastForParts(lines: readonly SetLine[], limits: Limits): number {
  const { stroke, counter, part } = figuresOf(lines);
  return Math.max(
    limits.narrowestOpening / stroke,
    (LEAST_COUNTER * limits.narrowestStrip) / counter,
    Math.sqrt(limits.smallestOpening) / part,
  );
}

/** A bridge is so much wider than a counter at the most: it takes a hair of the strokes beside it. By eye. */
const LEAST_COUNTER = 0.85;

/** The next of the sizes that are tried, each so many times the one before: then other words need not try them again. */
function nextOnLadder(size: number, { narrowestOpening }: Limits): number {
  const rung = Math.floor(Math.log(size / narrowestOpening) / Math.log(LARGER) + ROUNDING);
  return narrowestOpening * LARGER ** (rung + 1);
}

/** The smallest cap height, in mm, that strokes alone ask for. */
export function leastForStrokes(
  lines: readonly SetLine[],
  { narrowestOpening }: Pick<Limits, 'narrowestOpening'>,
): number {
  const glyphs = uniqueGlyphs(lines);
  const cap = glyphs[0]?.face.capHeight ?? 1;
  return (narrowestOpening * cap) / thinnestStroke(glyphs);
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
      const { left, right } = boundsOfLoops([hole]);
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
/** Film round a letter that is measured, in strips: enough not to be narrow, and with a short edge to look at. */
const ROUND_STRIPS = 2;
/** No stroke of any face is thicker, in ems. */
const THICKEST = 0.5;
/** What a width may be short of the one that is asked for, as a share: what measuring is off by. */
const SHORT = 0.03;

/** The thinnest stroke of some letters, in ems, by the measure that the finished stencil is checked with. */
function thinnestStroke(glyphs: readonly SetGlyph[]): number {
  return glyphs.reduce((thinnest, glyph) => thinnestOf(glyph, thinnest), THICKEST);
}

/** What is known of a letter's strokes, in ems. */
interface KnownStrokes {
  /** None is thinner. */
  wide: number;
  /** The width of the thinnest; Infinity until that was measured. */
  thinnest: number;
}

const known = new WeakMap<Font, Map<number, KnownStrokes>>();

/** A letter's thinnest stroke, in ems, or `most` where none is thinner; what was measured is not measured again. */
function thinnestOf({ face, id }: SetGlyph, most: number): number {
  const ofFace = known.get(face) ?? new Map<number, KnownStrokes>();
  known.set(face, ofFace);
  const own = ofFace.get(id) ?? { wide: 0, thinnest: Infinity };
  ofFace.set(id, own);
  if (most <= own.wide) return most;
  if (own.thinnest < Infinity) return Math.min(own.thinnest, most);
  const measured = measuredThinnest(inkOf(face, id).regions, most);
  if (measured < most) own.wide = own.thinnest = measured;
  else own.wide = most;
  return measured;
}

/** Measures with a limit, lowers it to the narrowest stroke that was found under it, and goes on until none is. */
function measuredThinnest(regions: readonly Region[], most: number): number {
  for (let limit = most * SCALE; ;) {
    const { shapes, sheet } = onTestSheet(regions, SCALE, limit);
    const widths = findNecks(shapes, sheet, { film: limit, opening: limit })
      .filter(({ region }) => region === 'opening')
      .map(({ widthMm }) => widthMm);
    const narrowest = Math.min(Infinity, ...widths);
    if (narrowest >= limit * (1 - SHORT)) return Math.min(limit, narrowest) / SCALE;
    limit = narrowest;
  }
}

/** What becomes of a letter where its mouths are widened. */
type LetterFate = 'whole' | 'broken';

const fates = new WeakMap<Font, Map<string, LetterFate>>();

/** Mouths are tried with openings so wide, in mm, and all else larger or smaller alike: then the answer is, too. */
const TRIED_MM = 1.5;

/** What becomes of a letter at so many mm an em; each is tried once. */
function atSize({ face, id }: SetGlyph, scale: number, limits: Limits): LetterFate {
  const known = fates.get(face) ?? new Map<string, LetterFate>();
  fates.set(face, known);
  const alike = TRIED_MM / limits.narrowestOpening;
  const [size, strip] = [scale * alike, limits.narrowestStrip * alike];
  const key = [id, size.toFixed(DIGITS), strip.toFixed(DIGITS)].join(' ');
  const found = known.get(key) ?? fateOf(inkOf(face, id).regions, size, strip);
  known.set(key, found);
  return found;
}

/** Digits of sizes that are the same. */
const DIGITS = 6;

/** The same of its parts, each alone: others move off it where the film between them is too narrow. */
function fateOf(parts: readonly Region[], scale: number, narrowestStrip: number): LetterFate {
  const narrowestOpening = TRIED_MM;
  const widths = { film: narrowestStrip, opening: narrowestOpening };
  for (const part of parts) {
    const { shapes, sheet } = onTestSheet([part], scale, narrowestStrip);
    const made = withWideGaps(shapes, sheet, { narrowestOpening, narrowestStrip, tightestTurn: 0 });
    if (made[0] === shapes[0]) continue;
    const isWhole = made.length === 1 && made[0].holes.length === shapes[0].holes.length;
    const isThin = ({ region, widthMm }: Neck): boolean =>
      region === 'opening' && widthMm < narrowestOpening * (1 - SHORT);
    if (!isWhole || findNecks(made, sheet, widths).some(isThin)) return 'broken';
  }
  return 'whole';
}

/** Parts of a letter, so many mm an em, on a sheet that is not much larger. */
function onTestSheet(
  parts: readonly Region[],
  scale: number,
  stripMm: number,
): { readonly shapes: readonly Shape[]; readonly sheet: Sheet } {
  const { left, top, right, bottom } = boundsOfLoops(parts.map(({ outer }) => outer));
  const round = ROUND_STRIPS * stripMm;
  const at = (loop: Float64Array): Outline =>
    polygonOutline(loop.map((value, k) => round + (value - (k % 2 ? top : left)) * scale));
  return {
    shapes: parts.map(({ outer, holes }) => ({ outer: at(outer), holes: holes.map(at) })),
    sheet: {
      widthMm: 2 * round + (right - left) * scale,
      heightMm: 2 * round + (bottom - top) * scale,
    },
  };
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
