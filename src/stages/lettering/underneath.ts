import { dilated, eroded } from '../../raster/morphology.js';
import type { Bitmap } from '../../raster/raster.js';
import type { Job } from '../../settings/job.js';
import type { UnderJob } from '../../settings/lettering-settings.js';

/**
 * What is painted under letters: all that lies within so many mm of them, or that they pass over on their way to the
 * lower right. Film narrower than a strip is left out of it.
 */
export function underneath(
  letters: Bitmap,
  { under, underBy, narrowestStrip }: UnderJob & Pick<Job, 'narrowestStrip'>,
  pixelsPerMm: number,
): Bitmap {
  const by = Math.round(underBy * pixelsPerMm);
  const wide = under === 'outline' ? dilated(letters, by) : cast(letters, by);
  const half = (narrowestStrip / 2) * pixelsPerMm;
  return eroded(dilated(wide, half), half);
}

/** Openings moved to the lower right by so many pixels, and all that they pass over. */
function cast({ width, height, data }: Bitmap, by: number): Bitmap {
  const made = data.slice();
  // Along each diagonal: how many steps are left of the last opening that was met.
  for (let diagonal = 1 - height; diagonal < width; diagonal++) {
    let left = -1;
    for (let x = Math.max(0, diagonal), y = x - diagonal; x < width && y < height; x++, y++) {
      const i = y * width + x;
      if (data[i] === 1) left = by;
      else left--;
      if (left >= 0) made[i] = 1;
    }
  }
  return { width, height, data: made };
}
