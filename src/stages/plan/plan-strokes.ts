import { counted } from '../../settings/words/counted.js';
import type { Job } from '../../settings/job.js';
import type { DrawnStrokes } from '../strokes/strokes.js';
import type { Difficulty } from './difficulty.js';
import type { CutPlan } from './plan.js';

/** Minutes for a start, a stop and the way between. Common practice, from memory, no source. */
const LIFT_MIN = 4 / 60;
/** More strokes than these are steady, fiddly and demanding. From memory. */
const MOST_STROKES = [12, 40, 100] as const;
const LEVELS = ['easy', 'steady', 'fiddly', 'demanding'] as const;

/** What a drawing in glue takes, in the figures that a plan of cuts has: no piece is cut, a hand's way is drawn. */
export function planStrokes(
  { strokes, glue, travelMm }: DrawnStrokes,
  { warmUp, cuttingSpeed }: Pick<Job, 'warmUp' | 'cuttingSpeed'>,
): CutPlan {
  return {
    pieces: [],
    cuttingMm: glue.lengthMm,
    travelMm,
    corners: strokes.reduce((sum, { corner }) => sum + corner.reduce((own, is) => own + is, 0), 0),
    straightRuns: 0,
    thinPlaces: 0,
    thinInARow: 0,
    warmUpMinutes: warmUp,
    minutes: warmUp + glue.lengthMm / cuttingSpeed + strokes.length * LIFT_MIN,
    difficulty: difficultyOf(strokes.length, glue.lengthMm),
  };
}

function difficultyOf(strokes: number, lengthMm: number): Difficulty {
  const reached = MOST_STROKES.filter((most) => strokes > most).length;
  return {
    level: LEVELS[reached],
    because: [`${counted(strokes, 'stroke')}, ${(lengthMm / 1000).toFixed(1)} m of glue`],
  };
}
