import type { FoldPattern } from '../../geometry/fold-pattern.js';
import { foldRaster, unfoldedBitmap } from '../../geometry/unfold-bitmap.js';
import type { RegionEdit } from '../../settings/edits.js';
import type { Widened } from '../widen/widen.js';
import { regionOrbits, unusedOf } from './edits.js';

/**
 * The widths kept on the opened sheet, the same in every copy of the packet; what a person edits at one place holds at
 * all its images.
 *
 * @param keep keeps the widths, with edits of regions
 */
export function widenedOnFold(
  pattern: FoldPattern,
  pixelsPerMm: number,
  regionEdits: readonly RegionEdit[],
  keep: (regionEdits: readonly RegionEdit[]) => Widened,
): Widened {
  const { edits, of } = regionOrbits(regionEdits, pattern);
  const widened = keep(edits);
  const { width, height } = widened.bitmap;
  const raster = foldRaster(pattern, width, height, pixelsPerMm);
  return {
    ...widened,
    bitmap: unfoldedBitmap(widened.bitmap, raster),
    unusedEdits: unusedOf(widened.unusedEdits, of),
  };
}
