import { closePairs } from '../../geometry/close-pairs.js';
import type { Point } from '../../geometry/shape.js';
import { shortOpenPath, type Cost } from '../../graphs/open-path-tsp.js';
import type { Job } from '../../settings/job.js';
import type { Sheet } from '../../settings/card.js';
import { nearStops } from './near-stops.js';
import type { CutPiece } from './piece.js';
import { sortIntoRounds } from './rounds.js';

/**
 * Film between two cuts is thin up to this much more than a bridge or half as much again as the narrowest strip: it
 * should be cool, or at rest, before its other side is cut. Common practice, from memory, no published source.
 */
const THIN_SPARE_MM = 0.1;
const THIN_STRIPS = 1.5;

/**
 * What it costs to follow thin film at once, and to leave a round before its end, in lengths of way across the sheet:
 * the first is worth avoiding by a detour, the second always.
 */
const THIN_SHEETS = 2;
const ROUND_SHEETS = 1000;

/** With more pieces not every pair of them is looked at for the order: the time grows with the square. */
const MOST_PAIRED = 700;

/** The order of cutting as a path problem: an open travelling-salesman path through the pieces' starts. */
export interface OrderProblem {
  readonly count: number;
  /** Of each piece, from 0: a round is cut to its end before the next. */
  readonly rounds: Int32Array;
  /** How many pairs of pieces leave thin film between them. */
  readonly thinPairs: number;
  readonly isThin: (a: number, b: number) => boolean;
  /** The way of the hand from start to start, in mm. */
  readonly way: Cost;
  /**
   * The rules as costs, so far above the way of the hand that the cheapest path keeps them wherever that can be done:
   * one path problem holds them all, and so does its lower bound.
   */
  readonly rule: Cost;
  readonly cost: Cost;
  /** The path itself, from the first piece to the last. */
  readonly solve: () => Int32Array;
}

/** What decides the order: the rounds, thin film between pieces, and the way of the hand. */
export function orderProblem(
  pieces: readonly CutPiece[],
  sheet: Sheet,
  job: Pick<Job, 'narrowestStrip' | 'bridgeWidth'>,
): OrderProblem {
  const count = pieces.length;
  const rounds = sortIntoRounds(pieces);
  const pairs = thinFilm(pieces, job);
  const thinBeside = pieces.map((): number[] => []);
  for (const [a, b] of pairs) {
    thinBeside[a].push(b);
    thinBeside[b].push(a);
  }
  const isThin = (a: number, b: number): boolean => thinBeside[a].includes(b);
  const x = Float64Array.from(pieces, ({ start }) => start.x);
  const y = Float64Array.from(pieces, ({ start }) => start.y);
  const across = Math.hypot(sheet.widthMm, sheet.heightMm);
  const rule: Cost = (a, b) =>
    across * (ROUND_SHEETS * Math.abs(rounds[a] - rounds[b]) + THIN_SHEETS * Number(isThin(a, b)));
  const way: Cost = (a, b) =>
    Math.sqrt((x[a] - x[b]) * (x[a] - x[b]) + (y[a] - y[b]) * (y[a] - y[b]));
  const cost: Cost = (a, b) => way(a, b) + rule(a, b);
  const solve = (): Int32Array => {
    if (count === 0) return new Int32Array(0);
    const near = count > MOST_PAIRED ? nearStops({ x, y, rounds, thinBeside }, cost) : undefined;
    const found = shortOpenPath(count, cost, rounds.indexOf(0), near);
    return firstRoundFirst(found, rounds, pieces, { x: sheet.widthMm / 2, y: sheet.heightMm / 2 });
  };
  return { count, rounds, thinPairs: pairs.length, isThin, way, rule, cost, solve };
}

/** The pairs of pieces that leave thin film between them. */
function thinFilm(
  pieces: readonly CutPiece[],
  { narrowestStrip, bridgeWidth }: Pick<Job, 'narrowestStrip' | 'bridgeWidth'>,
): readonly (readonly [number, number])[] {
  const reach = Math.max(bridgeWidth, THIN_STRIPS * narrowestStrip) + THIN_SPARE_MM;
  return closePairs(
    pieces.map(({ polygon }) => polygon),
    reach,
  );
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
