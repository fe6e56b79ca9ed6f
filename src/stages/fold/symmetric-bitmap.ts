import { foldRaster, unfoldedBitmap } from '../../geometry/unfold-bitmap.js';
import type { Bitmap } from '../../raster/raster.js';
import type { RegionEdit } from '../../settings/edits.js';
import type { Widened } from '../widen/widen.js';
import type { Laid } from './fold.js';
import { regionOrbits, unusedOf } from './edits.js';

/**
 * The widths kept on the opened sheet, the same in every copy of the packet; what a person edits at one place holds at
 * all its images.
 *
 * @param keep keeps the widths, with edits of regions
 */
export function widenedOnFold(
  { pattern, room }: Pick<Laid, 'pattern' | 'room'>,
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
    bitmap: unfoldedBitmap(room ? within(widened.bitmap, room) : widened.bitmap, raster),
    unusedEdits: unusedOf(widened.unusedEdits, of),
  };
}

/** What widening has drawn beyond the packet's room is film again. */
function within(bitmap: Bitmap, room: Bitmap): Bitmap {
  return { ...bitmap, data: bitmap.data.map((value, i) => value & room.data[i]) };
}
