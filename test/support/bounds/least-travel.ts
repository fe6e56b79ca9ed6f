import type { Shape } from '../../../src/geometry/shape.js';
import type { Sheet } from '../../../src/settings/card.js';
import { orderProblem } from '../../../src/stages/plan/order.js';
import { measurePiece } from '../../../src/stages/plan/piece.js';
import type { PlanSettings } from '../../../src/stages/plan/plan.js';
import { heldKarpBound } from './held-karp.js';

/**
 * No order of cutting under the plan's rules has less travel of the hand than this, in mm: the Held–Karp bound of the
 * same path problem, less what the rules cost on the path that was found.
 */
export function leastTravelMm(openings: readonly Shape[], sheet: Sheet, job: PlanSettings): number {
  const pieces = openings.map((shape) => measurePiece(shape, job.cuttingSpeed));
  const { count, rounds, rule, cost, solve } = orderProblem(pieces, sheet, job);
  const order = solve();
  const along = (of: (a: number, b: number) => number): number =>
    order.slice(1).reduce((sum, piece, i) => sum + of(order[i], piece), 0);
  const inRound = (round: number): number[] =>
    [...rounds.keys()].filter((piece) => rounds[piece] === round);
  const last = rounds[order[count - 1]];
  return heldKarpBound(count, cost, inRound(0), inRound(last), along(cost)) - along(rule);
}
