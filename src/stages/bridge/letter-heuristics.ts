import type { Job } from '../../settings/job.js';
import { bridgeHeuristics, keepingAll, type BridgeHeuristics } from './heuristics.js';
import { partedByOutlines } from './parted-by-outlines.js';
import { withoutSpurs } from './spurs.js';

/**
 * How letters are bridged. Their film was widened before, as outlines: what holds by these is not parted by pixels, and
 * no strip closes what pixels alone show as too narrow.
 * What a strip leaves of a stroke has no spurs.
 */
export function letterHeuristics({
  as,
  narrowestOpening,
}: Pick<Job, 'as' | 'narrowestOpening'>): BridgeHeuristics {
  return {
    // Parts of a mask are the picture, however far apart.
    ...(as === 'mask' ? keepingAll : bridgeHeuristics),
    coresOf: partedByOutlines,
    squeezes: () => [],
    withoutSpikes: (loop, strips) =>
      withoutSpurs(bridgeHeuristics.withoutSpikes(loop, strips), strips, narrowestOpening),
  };
}
