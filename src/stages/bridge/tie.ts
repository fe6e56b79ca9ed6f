import type { Point } from '../../geometry/shape.js';
import type { Job } from '../../job.js';
import { importanceAt } from '../../raster/importance.js';
import { coreAt, coreRadiusMm, type Film } from './film.js';

/** Where a strip came from. */
export type Origin = 'proposed' | 'added' | 'pinned' | 'moved';

/** A straight strip of film from one core to another. */
export interface Tie {
  /** The numbers of the two cores. */
  readonly from: number;
  readonly to: number;
  /** The strip's ends, inside the cores, in mm. */
  readonly start: Point;
  readonly end: Point;
  readonly widthMm: number;
  /**
   * It follows a neck of film that is too narrow, and only makes it wider: its middle line crosses no opening, nor a
   * corner at which two openings touch.
   */
  readonly neck: boolean;
  /** What is seen of it: from where to where its middle line crosses openings, in mm. */
  readonly seenFrom: Point;
  readonly seenTo: Point;
  /** What it costs: the mm² of opening that become film, each as it matters, less where the strip looks at home. */
  readonly weight: number;
  readonly origin: Origin;
  /** Its ends do not flare: there is no room for it. */
  readonly plain?: boolean;
}

type Limits = Pick<Job, 'bridgeWidth' | 'narrowestStrip' | 'narrowestOpening'>;

/** A part of a line, in px: from the last pixel of one core to the first of the next. */
interface Leg {
  readonly from: number;
  readonly to: number;
  readonly x0: number;
  readonly y0: number;
  readonly x1: number;
  readonly y1: number;
}

const STEP_PX = 0.5;

/** The ties that a line between two places in px makes: one for each two cores that follow each other on it. */
export function tiesAlong(
  film: Film,
  x0: number,
  y0: number,
  x1: number,
  y1: number,
  limits: Limits,
): Tie[] {
  return legsAlong(film, x0, y0, x1, y1).map((leg) => measure(film, leg, limits));
}

function legsAlong({ bitmap, cores }: Film, x0: number, y0: number, x1: number, y1: number): Leg[] {
  const legs: Leg[] = [];
  const steps = Math.max(1, Math.ceil(Math.hypot(x1 - x0, y1 - y0) / STEP_PX));
  let from = 0;
  let fromX = x0;
  let fromY = y0;
  for (let i = 0; i <= steps; i++) {
    const x = x0 + ((x1 - x0) * i) / steps;
    const y = y0 + ((y1 - y0) * i) / steps;
    const core = cores[Math.floor(y) * bitmap.width + Math.floor(x)];
    if (core === 0) continue;
    if (from !== 0 && core !== from) {
      legs.push({ from, to: core, x0: fromX, y0: fromY, x1: x, y1: y });
    }
    from = core;
    fromX = x;
    fromY = y;
  }
  return legs;
}

/** A strip that follows a neck of film only makes it as wide as it must be, and a little: no bridge is seen. */
const NECK_SLACK_MM = 0.2;

function measure(film: Film, bare: Leg, limits: Limits): Tie {
  const { pixelsPerMm } = film;
  const neck = seenAlong(film, bare) === undefined && !isThroughCorner(film, bare);
  const widthMm = neck
    ? Math.min(limits.bridgeWidth, limits.narrowestStrip + NECK_SLACK_MM)
    : limits.bridgeWidth;
  const radius = coreRadiusMm(limits.narrowestStrip) * pixelsPerMm;
  const leg = neck
    ? lengthened(bare, radius + 1, radius + 1)
    : withEnds(film, bare, widthMm * pixelsPerMm, radius);
  const crossing = neck ? undefined : seenAlong(film, leg);
  const covered = cover(film, leg, widthMm * pixelsPerMm);
  const [first, last] = crossing ?? covered.seen;
  const slivers = crossing ? sliversBeside(film, leg, crossing, widthMm, limits) : 0;
  const fits = crossing ? 1 - AT_HOME * continued(film, leg, crossing, widthMm) : 1;
  const place = placeOn(leg, pixelsPerMm);
  // Where no place matters more than another the shortest way is taken, and of those as short the tidier. What follows
  // a neck crosses no opening: there is no shorter way.
  const gap = crossing ? (last - first) * Math.hypot(leg.x1 - leg.x0, leg.y1 - leg.y0) : 0;
  const way = gap * widthMm * pixelsPerMm;
  const cost = film.importance
    ? fits * (covered.damage + SHORT * covered.opening + slivers)
    : way + TIDY * (covered.opening + slivers);
  return {
    from: leg.from,
    to: leg.to,
    start: place(0),
    end: place(1),
    widthMm,
    neck,
    seenFrom: place(first),
    seenTo: place(last),
    weight: cost / pixelsPerMm ** 2,
    origin: 'proposed',
  };
}

/** As far, in mm, a strip that was given goes on to find the film, where an opening has grown at its end. */
const GROWN_MM = 3;

/** The tie that a person gave: from one place to another in mm, and on until its ends hold in the film. */
export function tieBetween(
  film: Film,
  from: Point,
  to: Point,
  widthMm: number,
  origin: Origin,
  { narrowestStrip }: Pick<Job, 'narrowestStrip'>,
): Tie {
  const { pixelsPerMm } = film;
  const widthPx = widthMm * pixelsPerMm;
  const given = {
    from: 0,
    to: 0,
    x0: from.x * pixelsPerMm,
    y0: from.y * pixelsPerMm,
    x1: to.x * pixelsPerMm,
    y1: to.y * pixelsPerMm,
  };
  const onFilm = lengthened(given, openBeyond(film, turnedRound(given)), openBeyond(film, given));
  const leg = withEnds(film, onFilm, widthPx, coreRadiusMm(narrowestStrip) * pixelsPerMm);
  const covered = cover(film, leg, widthPx);
  const [first, last] = seenAlong(film, leg) ?? covered.seen;
  const place = placeOn(leg, pixelsPerMm);
  return {
    from: coreAt(film, place(0)),
    to: coreAt(film, place(1)),
    start: place(0),
    end: place(1),
    widthMm,
    neck: false,
    seenFrom: place(first),
    seenTo: place(last),
    weight: covered.opening / pixelsPerMm ** 2,
    origin,
  };
}

function turnedRound({ x0, y0, x1, y1, ...leg }: Leg): Leg {
  return { ...leg, x0: x1, y0: y1, x1: x0, y1: y0 };
}

/** How many px of opening lie beyond a leg's end before the film; 0 when there are too many. */
function openBeyond(
  { bitmap: { width, height, data }, pixelsPerMm }: Film,
  { x0, y0, x1, y1 }: Leg,
): number {
  const length = Math.hypot(x1 - x0, y1 - y0) || 1;
  for (let on = 0; on <= GROWN_MM * pixelsPerMm; on += STEP_PX) {
    const x = Math.floor(x1 + (on * (x1 - x0)) / length);
    const y = Math.floor(y1 + (on * (y1 - y0)) / length);
    if (x < 0 || y < 0 || x >= width || y >= height || data[y * width + x] === 0) return on;
  }
  return 0;
}

/** Places in mm along a leg, by the share of its length. */
function placeOn({ x0, y0, x1, y1 }: Leg, pixelsPerMm: number): (share: number) => Point {
  return (t) => ({ x: (x0 + t * (x1 - x0)) / pixelsPerMm, y: (y0 + t * (y1 - y0)) / pixelsPerMm });
}

/**
 * Moves the strip's ends on into the film by a core's radius and a pixel, so that no opening beyond an end is near
 * enough to part the strip's middle from the core, in pixels too. It looks for an end whose two corners lie in film,
 * further in if need be and else less far: a corner that stands out leaves a step that no tip follows.
 */
function withEnds(film: Film, leg: Leg, widthPx: number, radiusPx: number): Leg {
  const { x0, y0, x1, y1 } = leg;
  const before = squareEnd(film, x1, y1, x0, y0, widthPx, radiusPx);
  const after = squareEnd(film, x0, y0, x1, y1, widthPx, radiusPx);
  return lengthened(leg, before, after);
}

/** A leg that begins and ends so many px further out. */
function lengthened(leg: Leg, before: number, after: number): Leg {
  const { x0, y0, x1, y1 } = leg;
  const length = Math.hypot(x1 - x0, y1 - y0) || 1;
  const ux = (x1 - x0) / length;
  const uy = (y1 - y0) / length;
  return {
    ...leg,
    x0: x0 - before * ux,
    y0: y0 - before * uy,
    x1: x1 + after * ux,
    y1: y1 + after * uy,
  };
}

/** How far to go on from (x1, y1), away from (x0, y0), in px. */
function squareEnd(
  { bitmap: { width, height, data } }: Film,
  x0: number,
  y0: number,
  x1: number,
  y1: number,
  widthPx: number,
  radiusPx: number,
): number {
  const length = Math.hypot(x1 - x0, y1 - y0) || 1;
  const ux = (x1 - x0) / length;
  const uy = (y1 - y0) / length;
  const isFilm = (x: number, y: number): boolean =>
    x < 0 ||
    y < 0 ||
    x >= width ||
    y >= height ||
    data[Math.floor(y) * width + Math.floor(x)] === 0;
  const acrossX = (-uy * widthPx) / 2;
  const acrossY = (ux * widthPx) / 2;
  const wanted = radiusPx + 1;
  let best: number | undefined;
  for (let on = 0; on <= wanted + widthPx; on += STEP_PX) {
    const x = x1 + on * ux;
    const y = y1 + on * uy;
    if (!isFilm(x, y)) break;
    if (!isFilm(x + acrossX, y + acrossY) || !isFilm(x - acrossX, y - acrossY)) continue;
    best = on;
    if (on >= wanted) break;
  }
  return best ?? radiusPx;
}

/** Where the middle line comes onto an opening first and leaves one last, 0 to 1; undefined when it meets none. */
function seenAlong(
  { bitmap: { width, height, data } }: Film,
  { x0, y0, x1, y1 }: Leg,
): readonly [number, number] | undefined {
  const steps = Math.max(1, Math.ceil(Math.hypot(x1 - x0, y1 - y0) / STEP_PX));
  let first = -1;
  let last = -1;
  for (let i = 0; i <= steps; i++) {
    const x = Math.floor(x0 + ((x1 - x0) * i) / steps);
    const y = Math.floor(y0 + ((y1 - y0) * i) / steps);
    if (x < 0 || y < 0 || x >= width || y >= height || data[y * width + x] !== 1) continue;
    if (first < 0) first = i;
    last = i;
  }
  if (first < 0) return undefined;
  return [Math.max(0, first - 0.5) / steps, Math.min(steps, last + 0.5) / steps];
}

/** Whether the film that a leg follows parts on its way: where two openings, or two ends of one, touch by a corner. */
function isThroughCorner({ bitmap: { width, data } }: Film, { x0, y0, x1, y1 }: Leg): boolean {
  const steps = Math.max(1, Math.ceil(Math.hypot(x1 - x0, y1 - y0) / STEP_PX));
  let [column, row] = [Math.floor(x0), Math.floor(y0)];
  for (let i = 1; i <= steps; i++) {
    const nextColumn = Math.floor(x0 + ((x1 - x0) * i) / steps);
    const nextRow = Math.floor(y0 + ((y1 - y0) * i) / steps);
    const isSlanted = nextColumn !== column && nextRow !== row;
    if (isSlanted && data[row * width + nextColumn] === 1 && data[nextRow * width + column] === 1)
      return true;
    [column, row] = [nextColumn, nextRow];
  }
  return false;
}

const GRAIN_PX = 1.5;

/** What a strip covers. */
interface Covered {
  /** The opening that it covers, in px². */
  readonly opening: number;
  /** The same, each place as it matters. */
  readonly damage: number;
  /** Between which shares of its length. */
  readonly seen: readonly [number, number];
}

function cover(
  { bitmap: { width, height, data }, importance }: Film,
  { x0, y0, x1, y1 }: Leg,
  widthPx: number,
): Covered {
  const length = Math.hypot(x1 - x0, y1 - y0) || 1;
  const ux = (x1 - x0) / length;
  const uy = (y1 - y0) / length;
  const rows = Math.max(1, Math.round(length / GRAIN_PX));
  const columns = Math.max(2, Math.round(widthPx / GRAIN_PX));
  let hits = 0;
  let matters = 0;
  let first = rows;
  let last = 0;
  for (let i = 0; i < rows; i++) {
    const along = ((i + 0.5) / rows) * length;
    let hit = false;
    for (let k = 0; k < columns; k++) {
      const across = ((k + 0.5) / columns - 0.5) * widthPx;
      const x = Math.floor(x0 + along * ux - across * uy);
      const y = Math.floor(y0 + along * uy + across * ux);
      if (x < 0 || y < 0 || x >= width || y >= height || data[y * width + x] !== 1) continue;
      hits++;
      matters += importance ? importanceAt(importance, x, y) : 1;
      hit = true;
    }
    if (!hit) continue;
    first = Math.min(first, i);
    last = i + 1;
  }
  const seen = hits > 0 ? ([first / rows, last / rows] as const) : ([0.5, 0.5] as const);
  const each = (length * widthPx) / (rows * columns);
  return { opening: hits * each, damage: matters * each, seen };
}

/** What each place costs however little it matters: of two bridges as harmless the shorter one looks and holds better. */
const SHORT = 0.5;
const TIDY = 0.02;

/** What a strip is let off for each of its sides that goes on along a film edge beyond its end. */
const AT_HOME = 0.06;
const BESIDE_MM = 0.4;
const BEYOND_MM = [0.8, 1.5, 2.2];

/** How many of the four ends of a strip's sides go on along an edge of the film: film within, opening without. */
function continued(
  { bitmap: { width, height, data }, pixelsPerMm }: Film,
  { x0, y0, x1, y1 }: Leg,
  [first, last]: readonly [number, number],
  widthMm: number,
): number {
  const length = Math.hypot(x1 - x0, y1 - y0) || 1;
  const [ux, uy] = [(x1 - x0) / length, (y1 - y0) / length];
  const isOpen = (along: number, across: number): boolean => {
    const x = Math.floor(x0 + along * ux - across * uy);
    const y = Math.floor(y0 + along * uy + across * ux);
    return x >= 0 && y >= 0 && x < width && y < height && data[y * width + x] === 1;
  };
  const inner = (widthMm / 2 - BESIDE_MM) * pixelsPerMm;
  const outer = (widthMm / 2 + BESIDE_MM) * pixelsPerMm;
  let count = 0;
  for (const [end, way] of [
    [first * length, -1],
    [last * length, 1],
  ] as const) {
    for (const side of [-1, 1]) {
      const goesOn = BEYOND_MM.every((mm) => {
        const along = end + way * mm * pixelsPerMm;
        return !isOpen(along, side * inner) && isOpen(along, side * outer);
      });
      count += Number(goesOn);
    }
  }
  return count;
}

/**
 * The opening beside a bridge, in px², that it would cut off too narrow to be cut: on a side where no place along
 * the bridge has an opening's width between the bridge and the next film.
 */
function sliversBeside(
  { bitmap: { width, height, data }, pixelsPerMm, importance }: Film,
  { x0, y0, x1, y1 }: Leg,
  [first, last]: readonly [number, number],
  widthMm: number,
  { narrowestOpening }: Limits,
): number {
  const length = Math.hypot(x1 - x0, y1 - y0) || 1;
  const ux = (x1 - x0) / length;
  const uy = (y1 - y0) / length;
  const rows = Math.max(1, Math.round(((last - first) * length) / GRAIN_PX));
  const edge = (widthMm * pixelsPerMm) / 2;
  const wide = 2 * coreRadiusMm(narrowestOpening) * pixelsPerMm;
  let slivers = 0;
  for (const side of [-1, 1]) {
    let deepest = 0;
    let sum = 0;
    for (let i = 0; i < rows; i++) {
      const along = (first + ((i + 0.5) / rows) * (last - first)) * length;
      let depth = 0;
      for (; depth < wide; depth++) {
        const across = side * (edge + depth + 0.5);
        const x = Math.floor(x0 + along * ux - across * uy);
        const y = Math.floor(y0 + along * uy + across * ux);
        if (x < 0 || y < 0 || x >= width || y >= height || data[y * width + x] !== 1) break;
        sum += importance ? importanceAt(importance, x, y) : 1;
      }
      deepest = Math.max(deepest, depth);
    }
    if (deepest < wide) slivers += (sum * (last - first) * length) / rows;
  }
  return slivers;
}
