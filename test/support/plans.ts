import type { Sheet } from '../../src/settings/card.js';
import type { Shape } from '../../src/geometry/shape.js';
import { completeJob, type JobInput } from '../../src/settings/job.js';
import { planCuts, type CutPlan } from '../../src/stages/plan/plan.js';

/** The plan of openings, with settings that matter to it. */
export function planOf(
  openings: readonly Shape[],
  sheet: Sheet = { widthMm: 101.6, heightMm: 101.6 },
  job: JobInput = {},
): CutPlan {
  return planCuts(openings, sheet, completeJob(job));
}
