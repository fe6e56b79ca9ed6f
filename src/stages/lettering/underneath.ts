import { furtherThan } from '../../raster/distance.js';
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
  const wide = under === 'outline' ? grown(letters, by) : cast(letters, by);
  const half = (narrowestStrip / 2) * pixelsPerMm;
  return shrunk(grown(wide, half), half);
}

/** What lies within so many pixels of openings. */
function grown(bitmap: Bitmap, by: number): Bitmap {
  const [beyond] = furtherThan(bitmap, 1, [by * by]);
  return { ...bitmap, data: beyond.map((value) => 1 - value) };
}

function shrunk(bitmap: Bitmap, by: number): Bitmap {
  const [inside] = furtherThan(bitmap, 0, [by * by]);
  return { ...bitmap, data: inside };
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
