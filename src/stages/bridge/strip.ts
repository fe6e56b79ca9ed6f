import type { ErodedFilm } from './eroded-film.js';
import { importanceAt, isOpenAt, LONG_MM, type LineSegment } from './lines.js';

/** A strip as it is measured: its ends, moved into the film so that they hold, what is seen of it, what it costs. */
export interface MeasuredStrip {
  /** Its middle line, in px. */
  readonly line: LineSegment;
  /** Between which shares of its length, 0 to 1, it is seen. */
  readonly seen: EdgeSection;
  readonly widthMm: number;
  /** Its middle line crosses no opening, nor a corner at which two openings touch. */
  readonly followsNeck: boolean;
  /** In px². */
  readonly cost: number;
}

/** A part of a line, as shares of its length, 0 to 1. */
interface EdgeSection {
  readonly first: number;
  readonly last: number;
}

/** What strips are measured by. */
export interface StripLimits {
  readonly bridgeWidthMm: number;
  readonly neckWidthMm: number;
  /** What the cores were eroded by, in px. */
  readonly radius: number;
  /** An opening of this width, in px, can be cut. */
  readonly narrow: number;
}

/** Steps along a strip's middle, and the grain in which what lies under and beside it is counted, in px. */
const STEP = 0.5;
const GRAIN = 1.5;

/**
 * What a px² of opening under a strip costs beside what it matters (flat ground 0.1, the strongest features 4): of two bridges
 * as harmless the shorter one looks and holds better. A judgement, not measured.
 */
const SHORT = 0.5;
/**
 * The same, and for slivers, where no place matters more than another: as little as only decides between strips of one length.
 */
const TIDY = 0.02;

/**
 * What a strip is let off, as a share of its cost, for each of the four ends of its sides that goes on along an edge of the film:
 * a quarter for all, so that it looks like part of the drawing. A judgement, not measured.
 */
const AT_HOME = 0.06;
/** An edge goes on where film and opening lie so far to either side of it, in mm: what rounding and easing move it by. */
const BESIDE_MM = 0.4;
/** … at each of these distances beyond the strip's end, in mm: past the flare, and over a length that is seen as one line. */
const BEYOND_MM = [0.8, 1.5, 2.2];

/** Measures the strip along a line from the last pixel of one core to the first of the next, in px. */
export function measureStrip(
  film: ErodedFilm,
  { x0, y0, x1, y1 }: LineSegment,
  { bridgeWidthMm, neckWidthMm, radius, narrow }: StripLimits,
): MeasuredStrip {
  const edge = { x0, y0, x1, y1 };
  const followsNeck = !crossingOf(film, edge) && !isThroughCorner(film, edge);
  const widthMm = followsNeck ? neckWidthMm : bridgeWidthMm;
  const width = widthMm * film.pixelsPerMm;
  const line = followsNeck
    ? lengthened(edge, radius + 1, radius + 1)
    : withSquareEnds(film, edge, width, radius);
  const covered = coveredBy(film, line, width);
  const crossing = followsNeck ? undefined : crossingOf(film, line);
  const cost = crossing
    ? costOfBridge(film, line, crossing, covered, widthMm, narrow)
    : costOfNeck(film, covered);
  return { line, seen: crossing ?? covered.stretch, widthMm, followsNeck, cost };
}

/**
 * What a strip costs that is seen. Where no place matters more than another the shortest way is taken, and of those as
 * short the tidier.
 */
function costOfBridge(
  film: ErodedFilm,
  line: LineSegment,
  crossing: EdgeSection,
  { opening, damage }: Covered,
  widthMm: number,
  narrow: number,
): number {
  const width = widthMm * film.pixelsPerMm;
  const slivers = sliversBeside(film, line, crossing, width / 2, narrow);
  if (!film.saliency) {
    const gap = (crossing.last - crossing.first) * Math.hypot(line.x1 - line.x0, line.y1 - line.y0);
    return gap * widthMm * film.pixelsPerMm + TIDY * (opening + slivers);
  }
  const fits = 1 - AT_HOME * continuedSides(film, line, crossing, widthMm);
  const long = (crossing.last - crossing.first) * Math.hypot(line.x1 - line.x0, line.y1 - line.y0);
  // A rail is seen for its length as well as for what it covers.
  const rail = Math.max(1, long / film.pixelsPerMm / LONG_MM);
  return rail * fits * (damage + SHORT * opening + slivers);
}

/** What follows a neck crosses no opening: there is no shorter way. */
function costOfNeck({ saliency }: ErodedFilm, { opening, damage }: Covered): number {
  return saliency ? damage + SHORT * opening : TIDY * opening;
}

/**
 * Measures a strip that was given, from one place to another, and on until its ends hold in the film. Its cost is the
 * opening that it covers.
 *
 * @param grown how far, in px, it goes on to find the film, where an opening has grown at its end
 */
export function measureGivenStrip(
  film: ErodedFilm,
  given: LineSegment,
  widthMm: number,
  radius: number,
  grown: number,
): MeasuredStrip {
  const width = widthMm * film.pixelsPerMm;
  const before = openBeyond(film, reversed(given), grown);
  const after = openBeyond(film, given, grown);
  const line = withSquareEnds(film, lengthened(given, before, after), width, radius);
  const { opening, stretch } = coveredBy(film, line, width);
  const seen = crossingOf(film, line) ?? stretch;
  return { line, seen, widthMm, followsNeck: false, cost: opening };
}

function reversed({ x0, y0, x1, y1 }: LineSegment): LineSegment {
  return { x0: x1, y0: y1, x1: x0, y1: y0 };
}

/** A line's length, 1 where it has none, and its direction. */
function directionOf({ x0, y0, x1, y1 }: LineSegment) {
  const length = Math.hypot(x1 - x0, y1 - y0) || 1;
  return { length, ux: (x1 - x0) / length, uy: (y1 - y0) / length };
}

/** The line, beginning and ending so many px further out. */
function lengthened(line: LineSegment, before: number, after: number): LineSegment {
  const { ux, uy } = directionOf(line);
  return {
    x0: line.x0 - before * ux,
    y0: line.y0 - before * uy,
    x1: line.x1 + after * ux,
    y1: line.y1 + after * uy,
  };
}

/** How many px of opening lie beyond a line's end before the film; 0 when there are more than `most`. */
function openBeyond(film: ErodedFilm, { x0, y0, x1, y1 }: LineSegment, most: number): number {
  const far = Math.hypot(x1 - x0, y1 - y0) || 1;
  for (let on = 0; on <= most; on += STEP) {
    if (!isOpenAt(film, x1 + (on * (x1 - x0)) / far, y1 + (on * (y1 - y0)) / far)) return on;
  }
  return 0;
}

/**
 * Moves the strip's ends on into the film by a core's radius and a pixel, so that no opening beyond an end is near
 * enough to part the strip's middle from the core, in pixels too. It looks for an end whose two corners lie in film,
 * further in if need be and else less far: a corner that stands out leaves a step that no tip follows.
 */
function withSquareEnds(
  film: ErodedFilm,
  line: LineSegment,
  width: number,
  radius: number,
): LineSegment {
  const before = squareEnd(film, reversed(line), width, radius);
  const after = squareEnd(film, line, width, radius);
  return lengthened(line, before, after);
}

/** How far to go on from a line's end, in px. */
function squareEnd(film: ErodedFilm, line: LineSegment, width: number, radius: number): number {
  const { ux, uy } = directionOf(line);
  const acrossX = (-uy * width) / 2;
  const acrossY = (ux * width) / 2;
  const wanted = radius + 1;
  let best = -1;
  for (let on = 0; on <= wanted + width; on += STEP) {
    const x = line.x1 + on * ux;
    const y = line.y1 + on * uy;
    if (isOpenAt(film, x, y)) break;
    if (isOpenAt(film, x + acrossX, y + acrossY) || isOpenAt(film, x - acrossX, y - acrossY))
      continue;
    best = on;
    if (on >= wanted) break;
  }
  return best < 0 ? radius : best;
}

function stepsAlong({ x0, y0, x1, y1 }: LineSegment): number {
  return Math.max(1, Math.ceil(Math.hypot(x1 - x0, y1 - y0) / STEP));
}

/** Between where the middle line comes onto an opening first and where it leaves one last; undefined if it never does. */
function crossingOf(film: ErodedFilm, line: LineSegment): EdgeSection | undefined {
  const { x0, y0, x1, y1 } = line;
  const steps = stepsAlong(line);
  let first = -1;
  let last = -1;
  for (let i = 0; i <= steps; i++) {
    if (!isOpenAt(film, x0 + ((x1 - x0) * i) / steps, y0 + ((y1 - y0) * i) / steps)) continue;
    if (first < 0) first = i;
    last = i;
  }
  if (first < 0) return undefined;
  return { first: Math.max(0, first - 0.5) / steps, last: Math.min(steps, last + 0.5) / steps };
}

/** Whether the film that an edge follows parts on its way: where two openings, or two ends of one, touch by a corner. */
function isThroughCorner(film: ErodedFilm, line: LineSegment): boolean {
  const { x0, y0, x1, y1 } = line;
  const steps = stepsAlong(line);
  let column = Math.floor(x0);
  let row = Math.floor(y0);
  for (let i = 1; i <= steps; i++) {
    const nextColumn = Math.floor(x0 + ((x1 - x0) * i) / steps);
    const nextRow = Math.floor(y0 + ((y1 - y0) * i) / steps);
    const isSlanted = nextColumn !== column && nextRow !== row;
    if (isSlanted && isOpenAt(film, nextColumn, row) && isOpenAt(film, column, nextRow))
      return true;
    column = nextColumn;
    row = nextRow;
  }
  return false;
}

/** What a strip covers: opening in px², the same with each place as it matters, and where along it. */
interface Covered {
  readonly opening: number;
  readonly damage: number;
  readonly stretch: EdgeSection;
}

function coveredBy(film: ErodedFilm, line: LineSegment, width: number): Covered {
  const { length, ux, uy } = directionOf(line);
  const rows = Math.max(1, Math.round(length / GRAIN));
  const columns = Math.max(2, Math.round(width / GRAIN));
  const across = Float64Array.from(
    { length: columns },
    (_, k) => ((k + 0.5) / columns - 0.5) * width,
  );
  let hits = 0;
  let matters = 0;
  let first = rows;
  let last = 0;
  for (let i = 0; i < rows; i++) {
    const along = ((i + 0.5) / rows) * length;
    const middleX = line.x0 + along * ux;
    const middleY = line.y0 + along * uy;
    const before = hits;
    for (let k = 0; k < columns; k++) {
      const x = middleX - across[k] * uy;
      const y = middleY + across[k] * ux;
      if (!isOpenAt(film, x, y)) continue;
      hits += 1;
      matters += importanceAt(film, x, y);
    }
    if (hits === before) continue;
    first = Math.min(first, i);
    last = i + 1;
  }
  const each = (length * width) / (rows * columns);
  const stretch = hits > 0 ? { first: first / rows, last: last / rows } : { first: 0.5, last: 0.5 };
  return { opening: hits * each, damage: matters * each, stretch };
}

/** How many of the four ends of a strip's sides go on along an edge of the film: film within, opening without. */
function continuedSides(
  film: ErodedFilm,
  line: LineSegment,
  { first, last }: EdgeSection,
  widthMm: number,
): number {
  const { pixelsPerMm } = film;
  const { length, ux, uy } = directionOf(line);
  const inner = (widthMm / 2 - BESIDE_MM) * pixelsPerMm;
  const outer = (widthMm / 2 + BESIDE_MM) * pixelsPerMm;
  const isOpen = (along: number, across: number): boolean =>
    isOpenAt(film, line.x0 + along * ux - across * uy, line.y0 + along * uy + across * ux);
  let count = 0;
  for (const way of [-1, 1]) {
    const end = way < 0 ? first * length : last * length;
    for (const side of [-1, 1]) {
      const goesOn = BEYOND_MM.every((beyond) => {
        const along = end + way * beyond * pixelsPerMm;
        return !isOpen(along, side * inner) && isOpen(along, side * outer);
      });
      if (goesOn) count += 1;
    }
  }
  return count;
}

/**
 * The opening beside a bridge, in px², that it would cut off too narrow to be cut: on a side where no place along
 * the bridge has an opening's width between the bridge and the next film.
 *
 * @param edge how far its sides are from its middle, in px
 * @param narrow an opening's width in px
 */
function sliversBeside(
  film: ErodedFilm,
  line: LineSegment,
  { first, last }: EdgeSection,
  edge: number,
  narrow: number,
): number {
  const { length, ux, uy } = directionOf(line);
  const rows = Math.max(1, Math.round(((last - first) * length) / GRAIN));
  /** Adds what the places beside the strip matter, up to the next film; undefined where an opening is wide enough. */
  const addBeside = (place: number, side: number, matters: number): number | undefined => {
    const along = (first + (place / rows) * (last - first)) * length;
    let sum = matters;
    for (let depth = 0; depth < narrow; depth++) {
      const across = side * (edge + depth + 0.5);
      const x = line.x0 + along * ux - across * uy;
      const y = line.y0 + along * uy + across * ux;
      if (!isOpenAt(film, x, y)) return sum;
      sum += importanceAt(film, x, y);
    }
    return undefined;
  };
  let slivers = 0;
  for (const side of [-1, 1]) {
    // Midway is where an opening most often is wide: nothing need be counted then.
    if (addBeside(Math.floor(rows / 2) + 0.5, side, 0) === undefined) continue;
    let matters: number | undefined = 0;
    for (let i = 0; matters !== undefined && i < rows; i++) {
      matters = addBeside(i + 0.5, side, matters);
    }
    if (matters !== undefined) slivers += (matters * (last - first) * length) / rows;
  }
  return slivers;
}
