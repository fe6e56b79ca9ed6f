import { boundingBox } from '../../geometry/bounding-box.js';
import { findNecks, type Neck, type WidthLimits } from '../../geometry/necks.js';
import { shapeFinder } from '../../geometry/point-location.js';
import { difference, union } from '../../geometry/regions.js';
import { curveRestorer, flattenTracked } from '../../geometry/restore-curves.js';
import { segmentIndex, type SegmentIndex } from '../../geometry/segment-index.js';
import type { Outline, Point, Shape } from '../../geometry/shape.js';
import { pointToSegment } from '../../geometry/segment.js';
import { signedArea } from '../../geometry/signed-area.js';
import { withTightTurnsMarked } from '../../geometry/tight-turns.js';
import type { Sheet } from '../../settings/card.js';
import type { Job } from '../../settings/job.js';

/** What a width may be short of its limit, in mm, as where the promises are checked. */
const SHORT_MM = 0.04;
/** Wider than the limit by so much, in mm: what is measured is never quite as wide. */
const SPARE_MM = 0.02;
/** A gap that bends is widened piece by piece; one that is not done by then is traced anew. */
const MOST_ROUNDS = 4;
/** A strip goes so far to either side of the narrowest place at the most, as a share of its width. */
const MOST_REACH = 4;
/** In steps of so many mm. */
const STEP_MM = 0.1;
/** How near polygons follow the curves, in mm; the curves themselves come back. */
const TOLERANCE_MM = 0.01;
/** What is left over and smaller, in mm², is nothing that was drawn. */
const LEAST_MM2 = 0.02;

type GapJob = Pick<Job, 'narrowestStrip' | 'narrowestOpening' | 'tightestTurn'>;

/**
 * Widens the film within letters where it is too narrow between two wider parts, as between the feet of a slab n or the
 * ends of an a's bow: by straight strips along the gap, so that what is beside them stays as it was drawn.
 */
export function withWideGaps(
  shapes: readonly Shape[],
  sheet: Sheet,
  job: GapJob,
): readonly Shape[] {
  const limits = { film: job.narrowestStrip, opening: job.narrowestOpening };
  let made = shapes;
  for (let round = 0; round < MOST_ROUNDS; round++) {
    const necks = gapsIn(made, sheet, limits);
    if (necks.length === 0) break;
    const outlines = made.flatMap(({ outer, holes }) => [outer, ...holes]);
    const near = segmentIndex(
      outlines.map((outline) => flattenTracked(outline, toTolerance).points),
    );
    const width = limits.film + SPARE_MM;
    const find = shapeFinder(made);
    const gap: Gap = { near, isFilm: ({ x, y }) => find(x, y) < 0 };
    const strips = union(necks.map((neck) => stripAlong(neck, width, gap))).map(
      ({ outer }) => outer,
    );
    made = made.flatMap((shape) => cut(shape, strips, job.tightestTurn));
  }
  return made;
}

/** Where film is too narrow: between wide parts, and where a pocket that is nearly as wide hangs on one by less. */
function gapsIn(shapes: readonly Shape[], sheet: Sheet, limits: WidthLimits): readonly Neck[] {
  const narrower = (film: number, short: number): readonly Neck[] =>
    findNecks(shapes, sheet, { ...limits, film }).filter(
      ({ region, widthMm }) => region === 'film' && widthMm < film - short,
    );
  const found = narrower(limits.film, SHORT_MM);
  return found.length > 0 ? found : narrower(limits.film - POCKET_SHORT_MM, 0);
}

/** A pocket of film that is short of the limit by no more than about this, in mm, is held as one that is not. */
const POCKET_SHORT_MM = 0.08;

const toTolerance = (): number => TOLERANCE_MM;

/** What a gap is between. */
interface Gap {
  readonly near: SegmentIndex;
  readonly isFilm: (at: Point) => boolean;
}

/** Where across a gap its middle is looked for, as shares of its width from where it was expected. */
const LOOKS = Array.from({ length: 21 }, (_, k) => (k - 10) / 20);

/** A strip along the middle of a gap, from where that is wide enough on one side of a neck to where it is on the other. */
function stripAlong({ from, to }: Neck, width: number, gap: Gap): Float64Array {
  const middle = { x: (from.x + to.x) / 2, y: (from.y + to.y) / 2 };
  const across = unit({ x: to.x - from.x, y: to.y - from.y });
  const along = { x: -across.y, y: across.x };
  const back = { x: across.y, y: -across.x };
  const ways = [back, along].map((way) => middleOf(middle, way, width, gap));
  const [before, after] = ways.map((way) => withEnd(middle, way, width / 2));
  return strokeOf([...before.toReversed(), { ...middle, half: width / 2 }, ...after]);
}

/** A place on the middle line of a strip, and half the strip's width there. */
interface Station extends Point {
  readonly half: number;
}

/** A gap's middle from its narrowest place on. */
interface Way {
  readonly path: readonly Point[];
  /** It ends in a pocket, where the gap is nowhere as wide as it has to be, and not where that is. */
  readonly isPocket: boolean;
}

/**
 * One half of a strip. Into a pocket it tapers: with a square end it would bite its corners into the strokes beside it.
 */
function withEnd(middle: Point, { path, isPocket }: Way, half: number): Station[] {
  const stations = isPocket ? TAPER.map((share) => at(middle, path, share)) : undefined;
  if (stations) {
    return stations.map((point, i) => ({ ...point, half: half * (1 - TAPER[i] ** 2) }));
  }
  return withoutSmall([middle, ...path])
    .slice(1)
    .map((point) => ({ ...point, half }));
}

/** Where along a pocket a strip's sides bend, as shares of its length. */
const TAPER = [0.25, 0.5, 0.75, 1];

/** The place so far along a path, as a share of its steps. */
function at(start: Point, path: readonly Point[], share: number): Point {
  return path[Math.round(share * path.length) - 1] ?? start;
}

/** The middle of a gap from a place on, in a direction, as far as it is narrow. */
function middleOf(start: Point, direction: Point, width: number, gap: Gap): Way {
  const path: Point[] = [];
  let [at, ahead] = [start, direction];
  for (let step = 0; step < (MOST_REACH * width) / STEP_MM; step++) {
    const next = { x: at.x + STEP_MM * ahead.x, y: at.y + STEP_MM * ahead.y };
    const looks = LOOKS.map((look) => ({
      x: next.x - look * width * ahead.y,
      y: next.y + look * width * ahead.x,
    })).map((place) => ({ place, clear: clearance(place, width, gap) }));
    const best = looks.reduce((most, look) => (look.clear > most.clear ? look : most));
    if (best.clear === 0) break;
    const turned = unit({ x: best.place.x - at.x, y: best.place.y - at.y });
    ahead = unit({
      x: ahead.x + TURNS_BY * turned.x,
      y: ahead.y + TURNS_BY * turned.y,
    });
    at = best.place;
    path.push(at);
    if (best.clear >= width / 2) return { path, isPocket: false };
  }
  return { path, isPocket: path.length > 0 };
}

/** How much of its direction a path takes from its last step: the rest keeps it straight. */
const TURNS_BY = 0.3;

/** How far the ink is from a place in film, at the most as far as is wanted; 0 in ink. */
function clearance(at: Point, width: number, { near, isFilm }: Gap): number {
  if (!isFilm(at)) return 0;
  return Math.min(near.nearest(at, at, width)?.distance ?? Infinity, width / 2);
}

const unit = ({ x, y }: Point): Point => {
  const length = Math.hypot(x, y) || 1;
  return { x: x / length, y: y / length };
};

/** A path with as few corners as stay within a little of it (Douglas & Peucker 1973). */
function withoutSmall(path: readonly Point[]): readonly Point[] {
  const [first, last] = [path[0], path[path.length - 1]];
  let worst = { at: 0, off: OFF_MM };
  path.forEach((point, at) => {
    const off = pointToSegment(point, first, last);
    if (off > worst.off) worst = { at, off };
  });
  if (worst.at === 0) return [first, last];
  return [
    ...withoutSmall(path.slice(0, worst.at + 1)).slice(0, -1),
    ...withoutSmall(path.slice(worst.at)),
  ];
}

/** How far straight cuts may stand off the middle of a gap, in mm. */
const OFF_MM = 0.12;

/** The outline of a line as wide as it is to be at each place. */
function strokeOf(path: readonly Station[]): Float64Array {
  const sides = path.map((at, i) => {
    const before = path[Math.max(0, i - 1)];
    const after = path[Math.min(path.length - 1, i + 1)];
    const [a, b] = [
      i > 0 ? unit({ x: at.x - before.x, y: at.y - before.y }) : undefined,
      i < path.length - 1 ? unit({ x: after.x - at.x, y: after.y - at.y }) : undefined,
    ];
    const along = unit({ x: (a?.x ?? 0) + (b?.x ?? 0), y: (a?.y ?? 0) + (b?.y ?? 0) });
    const cos = along.x * (a ?? b)!.x + along.y * (a ?? b)!.y;
    const off = at.half / Math.max(cos, 0.5);
    return [
      { x: at.x - off * along.y, y: at.y + off * along.x },
      { x: at.x + off * along.y, y: at.y - off * along.x },
    ] as const;
  });
  const round = [...sides.map(([one]) => one), ...sides.map(([, other]) => other).toReversed()];
  return Float64Array.from(round.flatMap(({ x, y }) => [x, y]));
}

/** A shape without what strips take; itself where they take nothing. */
function cut(shape: Shape, strips: readonly Float64Array[], tightestTurn: number): Shape[] {
  const sources = [shape.outer, ...shape.holes].map((outline) =>
    flattenTracked(outline, toTolerance),
  );
  const [left, top, right, bottom] = boundingBox(sources[0].points);
  const own = strips.filter((strip) => {
    const box = boundingBox(strip);
    return box[0] < right && box[2] > left && box[1] < bottom && box[3] > top;
  });
  if (own.length === 0) return [shape];
  const restored = curveRestorer(sources);
  const back = (loop: Float64Array): Outline[] => {
    if (Math.abs(signedArea(loop)) < LEAST_MM2) return [];
    const outline = restored(loop);
    return outline ? [withTightTurnsMarked(outline, tightestTurn)] : [];
  };
  return difference(
    sources.map(({ points }) => points),
    own,
  ).flatMap(({ outer, holes }) =>
    back(outer).map((whole) => ({ outer: whole, holes: holes.flatMap(back) })),
  );
}
