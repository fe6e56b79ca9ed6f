import { settings, type Job, type SettingName } from '../../settings/job.js';
import { Problem } from '../../settings/problem.js';
import { MANY_STROKES } from '../../settings/strokes.js';

/** A setting that brings a drawing in glue under so many strokes, and how many they are then; it was tried. */
export interface StrokeAdvice {
  readonly setting: 'detail' | 'smoothing' | 'shortestStroke';
  readonly value: number;
  readonly strokes: number;
}

/** Shares of the detail, and times the smoothing and the shortest stroke, in the order in which they are tried. */
const LESS_DETAIL = [2 / 3, 1 / 3, 0];
const SMOOTHER = [2, 4, 8];
const LONGER = [2, 4];

type TrialSettings = Pick<Job, 'tone' | 'detail' | 'smoothing' | 'shortestStroke'>;

/**
 * Tries with which setting a drawing has no more strokes than a person would draw: less detail where the tone has it,
 * then a smoother picture, then longer strokes. The first that does is told.
 *
 * @param count how many strokes there are with the one setting changed; may throw a Problem when there are none
 */
export async function adviseOnStrokes(
  job: TrialSettings,
  count: (changed: Partial<TrialSettings>) => Promise<number>,
): Promise<StrokeAdvice | null> {
  for (const { setting, value } of candidates(job)) {
    const strokes = await countOrNone(count({ [setting]: value }));
    if (strokes > 0 && strokes <= MANY_STROKES) return { setting, value, strokes };
  }
  return null;
}

function candidates(job: TrialSettings): Pick<StrokeAdvice, 'setting' | 'value'>[] {
  const { detail, smoothing, shortestStroke } = job;
  const tenth = (mm: number): number => Math.ceil(mm * 10) / 10;
  const details =
    job.tone === 'mixed' ? LESS_DETAIL.map((share) => Math.floor(share * detail)) : [];
  const all: Pick<StrokeAdvice, 'setting' | 'value'>[] = [
    ...details.map((value) => ({ setting: 'detail' as const, value })),
    ...SMOOTHER.map((times) => ({
      setting: 'smoothing' as const,
      value: tenth(times * smoothing),
    })),
    ...LONGER.map((times) => ({
      setting: 'shortestStroke' as const,
      value: tenth(times * shortestStroke),
    })),
  ];
  return all.filter(({ setting, value }) => value !== job[setting] && value <= mostOf(setting));
}

const mostOf = (setting: SettingName & StrokeAdvice['setting']): number => settings[setting].max;

/** None where nothing can be drawn any more. */
async function countOrNone(counted: Promise<number>): Promise<number> {
  try {
    return await counted;
  } catch (error) {
    if (error instanceof Problem) return 0;
    throw error;
  }
}
