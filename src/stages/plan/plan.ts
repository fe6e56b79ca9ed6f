import type { Sheet } from '../../settings/card.js';
import { closePairs } from '../../geometry/close-pairs.js';
import type { Point, Shape } from '../../geometry/shape.js';
import { treeBound, heldKarpBound } from '../../graphs/held-karp-bound.js';
import { shortOpenPath } from '../../graphs/open-path-tsp.js';
import type { Job } from '../../settings/job.js';
import { difficultyOf, type Difficulty } from './difficulty.js';
import { measurePiece, type CutPiece } from './piece.js';
import { nearStops } from './near-stops.js';
import { sizeClassOf, sortIntoRounds, type SizeClass } from './rounds.js';

/** An opening as a piece to cut out: when, from where, and what it takes. */
export interface PlannedPiece extends Omit<CutPiece, 'polygon'> {
  /** Its place in the order of cutting, from 1: the number on the template. */
  readonly number: number;
  /** Its place among the openings, from 0. */
  readonly opening: number;
  readonly size: SizeClass;
  /** Whether it is large enough to be kept as a mask. */
  readonly keep: boolean;
}

/** How to cut a stencil out by hand. */
export interface CutPlan {
  /** In the order of cutting. */
  readonly pieces: readonly PlannedPiece[];
  readonly cuttingMm: number;
  /** From start to start, the way of the hand between the pieces. */
  readonly travelMm: number;
  /** No order under the same rules has less travel than this. */
  readonly leastTravelMm: number;
  readonly corners: number;
  readonly straightRuns: number;
  /** Pairs of pieces with thin film between them, and how many had to be cut one right after the other. */
  readonly thinPlaces: number;
  readonly thinInARow: number;
  readonly warmUpMinutes: number;
  /** Warm-up included. */
  readonly minutes: number;
  readonly difficulty: Difficulty;
}

/** The settings that a plan follows from. */
export type PlanSettings = Pick<
  Job,
  'narrowestStrip' | 'bridgeWidth' | 'cuttingSpeed' | 'warmUp' | 'smallestMask'
>;

/**
 * Film between two cuts is thin up to this much more than a bridge or half as much again as the narrowest strip: it
 * should be cool, or at rest, before its other side is cut. Common practice, from memory, no published source.
 */
const THIN_SPARE_MM = 0.1;
const THIN_STRIPS = 1.5;

/**
 * Plans the cutting: smallest and innermost first, so that the film stays stiff to the end; pieces with thin film
 * between them not one right after the other; within that, little travel of the hand. Each outline is one cut.
 */
export function planCuts(openings: readonly Shape[], sheet: Sheet, job: PlanSettings): CutPlan {
  const measured = openings.map((shape) => measurePiece(shape, job.cuttingSpeed));
  const thin = thinFilm(measured, job);
  const rounds = sortIntoRounds(measured);
  const { order, travelMm, leastTravelMm } = orderOf(measured, rounds, thin, sheet);
  const pieces = [...order].map((opening, place) =>
    plannedPiece(measured[opening], opening, place, job),
  );
  const total = (of: (piece: PlannedPiece) => number): number =>
    pieces.reduce((sum, piece) => sum + of(piece), 0);
  const sums = {
    cuttingMm: total(({ lengthMm }) => lengthMm),
    corners: total(({ corners }) => corners),
    thinPlaces: thin.size,
  };
  const cutting = total(({ minutes }) => minutes);
  return {
    pieces,
    ...sums,
    travelMm,
    leastTravelMm,
    straightRuns: total(({ runs }) => runs.length),
    thinInARow: order.reduce(
      (sum, opening, i) => sum + Number(i > 0 && thin.has(pairOf(order[i - 1], opening))),
      0,
    ),
    warmUpMinutes: job.warmUp,
    minutes: job.warmUp + cutting,
    difficulty: difficultyOf(pieces, sums, cutting),
  };
}

function plannedPiece(
  piece: CutPiece,
  opening: number,
  place: number,
  { smallestMask }: PlanSettings,
): PlannedPiece {
  const { start, middle, widthMm, heightMm, areaMm2, lengthMm, corners, runs, minutes } = piece;
  return {
    number: place + 1,
    opening,
    size: sizeClassOf(areaMm2),
    start,
    middle,
    widthMm,
    heightMm,
    areaMm2,
    lengthMm,
    corners,
    runs,
    minutes,
    keep: areaMm2 >= smallestMask,
  };
}

const MOST_PIECES = 2 ** 20;
const pairOf = (a: number, b: number): number => Math.min(a, b) * MOST_PIECES + Math.max(a, b);

/** The pairs of pieces that leave thin film between them. */
function thinFilm(
  pieces: readonly CutPiece[],
  { narrowestStrip, bridgeWidth }: PlanSettings,
): ReadonlySet<number> {
  const reach = Math.max(bridgeWidth, THIN_STRIPS * narrowestStrip) + THIN_SPARE_MM;
  const polygons = pieces.map(({ polygon }) => polygon);
  return new Set(closePairs(polygons, reach).map(([a, b]) => pairOf(a, b)));
}

interface Ordered {
  readonly order: Int32Array;
  readonly travelMm: number;
  readonly leastTravelMm: number;
}

/** How many sheets across it costs to follow thin film at once, and to leave a round before its end. */
const THIN_SHEETS = 2;
const ROUND_SHEETS = 1000;

/** With more pieces not every pair of them is looked at for the order, and with more than that not for the bound. */
const MOST_PAIRED = 700;
const MOST_PRICED = 4000;

/**
 * The rules as costs over the way of the hand, so far above it that the cheapest way keeps them wherever that can be
 * done: one path problem holds them all, and so does its lower bound.
 */
function orderOf(
  pieces: readonly CutPiece[],
  rounds: Int32Array,
  thin: ReadonlySet<number>,
  { widthMm, heightMm }: Sheet,
): Ordered {
  const count = pieces.length;
  if (count === 0) return { order: new Int32Array(0), travelMm: 0, leastTravelMm: 0 };
  const x = Float64Array.from(pieces, ({ start }) => start.x);
  const y = Float64Array.from(pieces, ({ start }) => start.y);
  const across = Math.hypot(widthMm, heightMm);
  const thinBeside = pieces.map((): number[] => []);
  for (const pair of thin) {
    const [a, b] = [Math.floor(pair / MOST_PIECES), pair % MOST_PIECES];
    thinBeside[a].push(b);
    thinBeside[b].push(a);
  }
  const rule = (a: number, b: number): number =>
    across *
    (ROUND_SHEETS * Math.abs(rounds[a] - rounds[b]) +
      THIN_SHEETS * Number(thinBeside[a].includes(b)));
  const way = (a: number, b: number): number =>
    Math.sqrt((x[a] - x[b]) * (x[a] - x[b]) + (y[a] - y[b]) * (y[a] - y[b]));
  const cost = (a: number, b: number): number => way(a, b) + rule(a, b);
  const near = count > MOST_PAIRED ? nearStops({ x, y, rounds, thinBeside }, cost) : undefined;
  const found = shortOpenPath(count, cost, rounds.indexOf(0), near);
  const order = firstRoundFirst(found, rounds, pieces, { x: widthMm / 2, y: heightMm / 2 });
  let [travelMm, ruled] = [0, 0];
  for (let i = 1; i < count; i++) {
    travelMm += way(order[i - 1], order[i]);
    ruled += rule(order[i - 1], order[i]);
  }
  const last = rounds[order[count - 1]];
  const inRound = (round: number): number[] =>
    [...rounds.keys()].filter((piece) => rounds[piece] === round);
  if (count > MOST_PRICED) {
    // Round after round: no way through all of them is shorter than the ways through each.
    const least = [...new Set(rounds)].reduce(
      (sum, round) =>
        sum + treeBound(Float64Array.from(inRound(round).flatMap((k) => [x[k], y[k]]))),
      0,
    );
    return { order, travelMm, leastTravelMm: Math.min(travelMm, least) };
  }
  const bound = heldKarpBound(count, cost, inRound(0), inRound(last), travelMm + ruled);
  return { order, travelMm, leastTravelMm: Math.max(0, Math.min(travelMm, bound - ruled)) };
}

/** The way round in which the first round comes first; with one round only, the one that starts further inside. */
function firstRoundFirst(
  order: Int32Array,
  rounds: Int32Array,
  pieces: readonly CutPiece[],
  centre: Point,
): Int32Array {
  const off = (piece: number): number =>
    Math.hypot(pieces[piece].start.x - centre.x, pieces[piece].start.y - centre.y);
  const [first, last] = [order[0], order[order.length - 1]];
  const isBackward = rounds[first] - rounds[last] || off(first) - off(last);
  return isBackward > 0 ? order.toReversed() : order;
}
