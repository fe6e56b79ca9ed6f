import type { Sheet } from '../../settings/card.js';
import type { Shape } from '../../geometry/shape.js';
import type { Job } from '../../settings/job.js';
import { difficultyOf, type Difficulty } from './difficulty.js';
import { orderProblem } from './order.js';
import { measurePiece, type CutPiece } from './piece.js';
import { sizeClassOf, type SizeClass } from './rounds.js';

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
 * Plans the cutting: smallest and innermost first, so that the film stays stiff to the end; pieces with thin film
 * between them not one right after the other; within that, little travel of the hand. Each outline is one cut.
 */
export function planCuts(openings: readonly Shape[], sheet: Sheet, job: PlanSettings): CutPlan {
  const measured = openings.map((shape) => measurePiece(shape, job.cuttingSpeed));
  const problem = orderProblem(measured, sheet, job);
  const order = problem.solve();
  const pieces = [...order].map((opening, place) =>
    plannedPiece(measured[opening], opening, place, job),
  );
  const total = (of: (piece: PlannedPiece) => number): number =>
    pieces.reduce((sum, piece) => sum + of(piece), 0);
  const sums = {
    cuttingMm: total(({ lengthMm }) => lengthMm),
    corners: total(({ corners }) => corners),
    thinPlaces: problem.thinPairs,
  };
  const cutting = total(({ minutes }) => minutes);
  return {
    pieces,
    ...sums,
    travelMm: along(order, problem.way),
    straightRuns: total(({ runs }) => runs.length),
    thinInARow: along(order, (a, b) => Number(problem.isThin(a, b))),
    warmUpMinutes: job.warmUp,
    minutes: job.warmUp + cutting,
    difficulty: difficultyOf(pieces, sums, cutting),
  };
}

/** The sum over each step of an order. */
function along(order: Int32Array, of: (a: number, b: number) => number): number {
  let sum = 0;
  for (let i = 1; i < order.length; i++) sum += of(order[i - 1], order[i]);
  return sum;
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
