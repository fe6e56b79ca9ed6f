import type { Job } from './job.js';

/**
 * The widths are promised so that just under half a strip can be taken off each side, and pixels half of one more. On
 * a folded sheet, whose strips lie on folds and are wide, parts that are so much short of the limit are common.
 */
const PART_SHORT_MM = 0.3;
/** The share of that without the pixels: a neck of such a part that is short by more comes apart where the part stays. */
const NECK_SHORT_MM = 0.2;

/** A job's least widths, in mm, and by how much a part may be short of them and still hang by its neck (`findNecks`). */
export function widthLimitsOf({
  narrowestStrip,
  narrowestOpening,
  fold,
}: Pick<Job, 'narrowestStrip' | 'narrowestOpening'> & Partial<Pick<Job, 'fold'>>) {
  const isFolded = fold !== undefined && fold !== 'none';
  return {
    film: narrowestStrip,
    opening: narrowestOpening,
    ...(isFolded && { partShort: PART_SHORT_MM, neckShort: NECK_SHORT_MM }),
  };
}
