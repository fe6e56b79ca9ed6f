import { toolLimits, type Job } from '../settings/job.js';
import type { typefaceKinds } from '../settings/lettering-settings.js';

type TypefaceKind = (typeof typefaceKinds)[number];

/** Every capital and figure, and these with the small letters: what a typeface's smallest size is told for. */
export const CAPITALS = 'ABCDEFGHIJKLMNOPQRSTUVWXYZ0123456789';
export const LETTERS = CAPITALS + CAPITALS.toLowerCase();

type Limits = Pick<Job, 'narrowestOpening' | 'narrowestStrip' | 'smallestOpening'>;

/** The smallest cap heights of a typeface, in mm. */
export interface LeastSizes {
  readonly capitals: number;
  readonly letters: number;
}

/**
 * What `leastCapHeight` works out for the limits that a tool has unless a person says otherwise: that takes seconds for all
 * typefaces. `npm run letters sizes` prints it anew, and a test works all of it out again.
 */
const WORKED_OUT: Readonly<
  Record<'hot-tip' | 'craft-knife', Readonly<Record<TypefaceKind, LeastSizes>>>
> = {
  'hot-tip': {
    sans: { capitals: 11.363, letters: 13.4883 },
    narrow: { capitals: 16.0644, letters: 28.0652 },
    slab: { capitals: 11.5009, letters: 13.564 },
    script: { capitals: 22.0914, letters: 22.7445 },
    typewriter: { capitals: 11.728, letters: 15.1314 },
    display: { capitals: 9.4072, letters: 9.4725 },
    hand: { capitals: 13.0384, letters: 14.589 },
    noto: { capitals: 13.2593, letters: 14.9059 },
  },
  'craft-knife': {
    sans: { capitals: 7.5753, letters: 9.3519 },
    narrow: { capitals: 12.0483, letters: 18.7102 },
    slab: { capitals: 8.6257, letters: 9.0427 },
    script: { capitals: 14.7276, letters: 16.1945 },
    typewriter: { capitals: 7.8186, letters: 10.0876 },
    display: { capitals: 6.2715, letters: 6.315 },
    hand: { capitals: 8.6923, letters: 10.115 },
    noto: { capitals: 8.8395, letters: 9.9372 },
  },
};

/** A typeface's smallest sizes where they are known; undefined for other limits. */
export function leastSizesKnown(kind: TypefaceKind, limits: Limits): LeastSizes | undefined {
  const tool = (['hot-tip', 'craft-knife'] as const).find((one) => {
    const own = toolLimits[one];
    return (
      own.narrowestOpening === limits.narrowestOpening &&
      own.narrowestStrip === limits.narrowestStrip &&
      own.smallestOpening === limits.smallestOpening
    );
  });
  return tool && WORKED_OUT[tool][kind];
}
