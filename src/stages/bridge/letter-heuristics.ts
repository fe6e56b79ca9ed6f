import type { Job } from '../../settings/job.js';
import { bridgeHeuristics, type BridgeHeuristics } from './heuristics.js';
import { withoutSpurs } from './spurs.js';

/** A pocket of film is as wide as it has to be by so much, in mm, before it counts: what rounding to pixels may add. */
const POCKET_MM = 0.05;

/**
 * How letters are bridged. Their film was widened before, as outlines; what is not quite wide enough in a pocket between
 * two strokes, and hangs by less, is nothing that a strip should be cut for. What a strip leaves of a stroke has no spurs.
 */
export function letterHeuristics({
  narrowestOpening,
}: Pick<Job, 'narrowestOpening'>): BridgeHeuristics {
  return {
    ...bridgeHeuristics,
    swellingMm: -POCKET_MM,
    withoutSpikes: (loop, strips) =>
      withoutSpurs(bridgeHeuristics.withoutSpikes(loop, strips), strips, narrowestOpening),
  };
}
