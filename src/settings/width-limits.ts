import type { Job } from './job.js';

/** The least widths that are wanted, in mm. */
export interface WidthLimits {
  readonly film: number;
  readonly opening: number;
  /**
   * A part that is short of its limit by no more, in mm, still hangs by a neck that is narrower than it is: half a strip
   * taken off either side leaves it a core. Unless set: only one that is as wide as its limit does.
   */
  readonly partShort?: number;
}

/**
 * The widths are promised so that just under half a strip can be taken off each side, and pixels half of one more. On
 * a folded sheet, whose strips lie on folds and are wide, parts that are so much short of the limit are common.
 */
const PART_SHORT_MM = 0.3;

/** A job's least widths. */
export function widthLimitsOf({
  narrowestStrip,
  narrowestOpening,
  fold,
}: Pick<Job, 'narrowestStrip' | 'narrowestOpening'> & Partial<Pick<Job, 'fold'>>): WidthLimits {
  const isFolded = fold !== undefined && fold !== 'none';
  return {
    film: narrowestStrip,
    opening: narrowestOpening,
    ...(isFolded && { partShort: PART_SHORT_MM }),
  };
}
