import { outlineOfCurves, type OutlineCurve } from '../geometry/outline.js';
import { boundingBox } from '../geometry/bounding-box.js';
import { findNecks, type Neck, type WidthLimits } from '../geometry/necks.js';
import { shapeFinder } from '../geometry/point-location.js';
import { difference, union } from '../geometry/boolean-operations.js';
import { curveRestorer, flattenTracked, type TrackedPolygon } from '../geometry/restore-curves.js';
import type { Chain } from '../geometry/chain.js';
import { lineCubic } from '../geometry/cubic.js';
import { fitLine } from '../geometry/fit-line.js';
import { smoothLine } from '../geometry/smooth-line.js';
import { segmentIndex, type SegmentIndex } from '../geometry/segment-index.js';
import type { Outline, Point, Shape } from '../geometry/shape.js';
import { pointToSegment } from '../geometry/segment.js';
import { signedArea } from '../geometry/signed-area.js';
import { withTightTurnsMarked } from '../geometry/tight-turns.js';
import type { Sheet } from '../settings/card.js';
import type { Job } from '../settings/job.js';

/** What a width may be short of its limit, in mm: less than where the promises are checked and where bridges are laid. */
const SHORT_MM = 0.01;
/** Wider than the limit by so much, in mm: what is measured is never quite as wide. */
const SPARE_MM = 0.04;
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
    const strips = necks.map((neck) => flattenTracked(stripAlong(neck, width, gap), toTolerance));
    const merged = union(strips.map(({ points }) => points)).map(({ outer }) => outer);
    made = made.flatMap((shape) => cut(shape, merged, strips, job.tightestTurn));
  }
  return made;
}

/** Where film is too narrow: between wide parts, and where a pocket that is nearly as wide hangs on one by less. */
function gapsIn(shapes: readonly Shape[], sheet: Sheet, limits: WidthLimits): readonly Neck[] {
  return findNecks(shapes, sheet, { ...limits, partShort: POCKET_SHORT_MM }).filter(
    ({ region, widthMm }) => region === 'film' && widthMm < limits.film - SHORT_MM,
  );
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

/**
 * A strip along the middle of a gap, from where that is wide enough on one side of a neck to where it is on the other.
 * There its round ends touch the sides of the gap, so that these go over into it without a step.
 */
function stripAlong({ from, to }: Neck, width: number, gap: Gap): Outline {
  const middle = { x: (from.x + to.x) / 2, y: (from.y + to.y) / 2 };
  const across = unit({ x: to.x - from.x, y: to.y - from.y });
  const along = { x: -across.y, y: across.x };
  const back = { x: across.y, y: -across.x };
  const [before, after] = [back, along].map((way) => gapMidline(middle, way, width, gap));
  const found = [...before.path.toReversed(), middle, ...after.path];
  const step = { x: middle.x + STEP_MM * along.x, y: middle.y + STEP_MM * along.y };
  const path = found.length > 1 ? found : [middle, step];
  const ends = { first: before.isPocket, last: after.isPocket };
  return strokeOf(smoothed(path), before.path.length / (path.length - 1), ends, width / 2);
}

/** A gap's middle from its narrowest place on. */
interface GapMidline {
  readonly path: readonly Point[];
  /** It ends in a pocket, where the gap is nowhere as wide as it has to be, and not where that is. */
  readonly isPocket: boolean;
}

/** The middle of a gap from a place on, in a direction, as far as it is narrow. */
function gapMidline(start: Point, direction: Point, width: number, gap: Gap): GapMidline {
  const path: Point[] = [];
  let [at, ahead] = [start, direction];
  for (let step = 0; step < (MOST_REACH * width) / STEP_MM; step++) {
    const next = { x: at.x + STEP_MM * ahead.x, y: at.y + STEP_MM * ahead.y };
    const looks = LOOKS.map((look) => ({
      x: next.x - look * width * ahead.y,
      y: next.y + look * width * ahead.x,
    })).map((place) => ({ place, clear: clearance(place, width, gap) }));
    const near = looks.reduce((most, look) => (look.clear > most.clear ? look : most));
    if (near.clear === 0) break;
    const best = centred(near, { x: -ahead.y, y: ahead.x }, width, gap);
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

/** A place nearer to the middle of a gap, which was looked for in steps: by halving these. */
function centred(
  near: { readonly place: Point; readonly clear: number },
  across: Point,
  width: number,
  gap: Gap,
): { readonly place: Point; readonly clear: number } {
  let best = near;
  for (let step = (LOOKS[1] - LOOKS[0]) / 2; step > LEAST_LOOK; step /= 2) {
    for (const way of [-step, step]) {
      const { x, y } = best.place;
      const place = { x: x + way * width * across.x, y: y + way * width * across.y };
      const clear = clearance(place, width, gap);
      if (clear > best.clear) best = { place, clear };
    }
  }
  return best;
}

/** A share of a gap's width: nearer to its middle nobody sees. */
const LEAST_LOOK = 0.002;

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

/** How far a straight cut may stand off the middle of a gap, in mm. */
const OFF_MM = 0.12;
/** How a middle that bends is smoothed, in mm: it was looked for in steps, and wanders by as much. */
const SMOOTHING = {
  stepMm: 0.2,
  waveMm: 4,
  tightestMm: 0,
  cornerMm: 0,
  mostOffMm: OFF_MM,
  isClosed: false,
} as const;

/** A path of at least two places, straight where that is near it, and else smooth. */
function smoothed(path: readonly Point[]): Chain {
  const [first, last] = [path[0], path[path.length - 1]];
  const isStraight = path.every((point) => pointToSegment(point, first, last) <= OFF_MM);
  const through = isStraight ? [first, last] : path;
  const line = {
    x: Float64Array.from(through, ({ x }) => x),
    y: Float64Array.from(through, ({ y }) => y),
  };
  return smoothLine(line, SMOOTHING);
}

/** How far fitted curves may lie off the sides of a strip, in mm. */
const FIT_MM = 0.01;

/**
 * The outline of a strip along a path, its ends round. Into a pocket it tapers from its narrowest place on: with a whole
 * end it would bite into the strokes beside it.
 *
 * @param neck how far along the path, as a share of it, the gap is narrowest
 * @param isPocket at the first end, and at the last
 */
function strokeOf(
  { x, y }: Chain,
  neck: number,
  isPocket: { readonly first: boolean; readonly last: boolean },
  most: number,
): Outline {
  const end = x.length - 1;
  const halfAt = (i: number): number => {
    const share = i / end;
    if (share < neck) return isPocket.first ? most * (1 - ((neck - share) / neck) ** 2) : most;
    return isPocket.last ? most * (1 - ((share - neck) / (1 - neck)) ** 2) : most;
  };
  const side = (way: 1 | -1): Chain => {
    const made = { x: new Float64Array(end + 1), y: new Float64Array(end + 1) };
    for (let i = 0; i <= end; i++) {
      const [a, b] = [Math.max(0, i - 1), Math.min(end, i + 1)];
      const along = unit({ x: x[b] - x[a], y: y[b] - y[a] });
      made.x[i] = x[i] - way * halfAt(i) * along.y;
      made.y[i] = y[i] + way * halfAt(i) * along.x;
    }
    return made;
  };
  const [left, right] = [side(1), side(-1)];
  const back = { x: right.x.toReversed(), y: right.y.toReversed() };
  const at = (line: Chain, i: number): Point => ({ x: line.x[i], y: line.y[i] });
  return outlineOfCurves([
    ...sideCurves(left),
    ...(isPocket.last ? [] : roundEnd(at(left, end), at(back, 0))),
    ...sideCurves(back),
    ...(isPocket.first ? [] : roundEnd(at(back, end), at(left, 0))),
  ]);
}

/** Curves along one side of a strip: one straight one where that is what it is. */
function sideCurves(line: Chain): OutlineCurve[] {
  const end = line.x.length - 1;
  const [first, last] = [0, end].map((i) => ({ x: line.x[i], y: line.y[i] }));
  const isStraight = Array.from(line.x, (x, i) => ({ x, y: line.y[i] })).every(
    (point) => pointToSegment(point, first, last) <= SAME_MM,
  );
  if (isStraight)
    return [{ cubic: lineCubic(first.x, first.y, last.x, last.y), straight: true, corner: false }];
  const smooth = { ...line, corner: new Uint8Array(end + 1) };
  return fitLine(smooth, false, FIT_MM).map((cubic) => ({ cubic, straight: false, corner: false }));
}

/** Less off a straight line is rounding, in mm. */
const SAME_MM = 1e-6;
/** Handles of a cubic that follows a quarter of a circle, as shares of its radius. */
const QUARTER = (4 / 3) * (Math.SQRT2 - 1);

/** Half a circle from one side of a strip's end to the other, beyond it. */
function roundEnd(from: Point, to: Point): OutlineCurve[] {
  const middle = { x: (from.x + to.x) / 2, y: (from.y + to.y) / 2 };
  const out = { x: from.x - middle.x, y: from.y - middle.y };
  // The strip is on the left of the way along it, and its end ahead.
  const ahead = { x: out.y, y: -out.x };
  const place = (a: number, b: number): readonly [number, number] => [
    middle.x + a * out.x + b * ahead.x,
    middle.y + a * out.y + b * ahead.y,
  ];
  const quarters = [
    [place(1, 0), place(1, QUARTER), place(QUARTER, 1), place(0, 1)],
    [place(0, 1), place(-QUARTER, 1), place(-1, QUARTER), place(-1, 0)],
  ];
  return quarters.map((points) => ({
    cubic: Float64Array.from(points.flat()),
    straight: false,
    corner: false,
  }));
}

/** A shape without what strips take; itself where they take nothing. */
function cut(
  shape: Shape,
  strips: readonly Float64Array[],
  drawn: readonly TrackedPolygon[],
  tightestTurn: number,
): Shape[] {
  const sources = [shape.outer, ...shape.holes].map((outline) =>
    flattenTracked(outline, toTolerance),
  );
  const [left, top, right, bottom] = boundingBox(sources[0].points);
  const own = strips.filter((strip) => {
    const box = boundingBox(strip);
    return box[0] < right && box[2] > left && box[1] < bottom && box[3] > top;
  });
  if (own.length === 0) return [shape];
  const restored = curveRestorer([...sources, ...drawn]);
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
