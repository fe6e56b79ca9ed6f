import type { Sheet } from '../../card.js';
import type { Job } from '../../job.js';
import { squaredDistance } from '../../raster/distance.js';
import { labelRegions } from '../../raster/labels.js';
import type { Bitmap } from '../../raster/raster.js';

/** The film of a whole sheet, and its cores: the parts of it that are wide enough to hold something. */
export interface Film {
  readonly bitmap: Bitmap;
  readonly pixelsPerMm: number;
  /** By pixel: the number of its core, 1 to `count`; 0 where the film is too thin, and in openings. */
  readonly cores: Int32Array;
  readonly count: number;
  /** Pixels of opening. */
  readonly opening: number;
}

/** The size of a sheet's bitmap in px. */
export function bitmapSize(sheet: Sheet, pixelsPerMm: number): { width: number; height: number } {
  return {
    width: Math.ceil(sheet.widthMm * pixelsPerMm - 1e-6),
    height: Math.ceil(sheet.heightMm * pixelsPerMm - 1e-6),
  };
}

/** What is taken off half a width before eroding by it: rounding to pixels, but less than the check allows for. */
const SLACK_MM = 0.05;

/** The radius in mm that something of the given width is eroded by to see that it is that wide. */
export function coreRadiusMm(widthMm: number): number {
  return 0.5 * widthMm - SLACK_MM;
}

/**
 * Finds the cores: film further from any opening than just under half the narrowest strip. They are 8-connected: where
 * two of their pixels touch by a corner, the film round both is wide enough.
 * The edge of the sheet always belongs to one.
 */
export function surveyFilm(
  bitmap: Bitmap,
  pixelsPerMm: number,
  { narrowestStrip }: Pick<Job, 'narrowestStrip'>,
): Film {
  const { width, height, data } = bitmap;
  const radius = coreRadiusMm(narrowestStrip) * pixelsPerMm;
  const squared = squaredDistance(bitmap, 1, radius + 1);
  const limit = radius ** 2;
  const wide = new Uint8Array(data.length);
  let opening = 0;
  for (let i = 0; i < data.length; i++) {
    opening += data[i];
    if (squared[i] > limit) wide[i] = 1;
  }
  markEdge(wide, width, height);
  const { labels, count } = labelRegions({ width, height, data: wide }, 1, 8);
  return { bitmap, pixelsPerMm, cores: labels, count, opening };
}

/** Beyond the sheet's edge nothing is cut: a margin that is narrower than half a strip still holds. */
function markEdge(wide: Uint8Array, width: number, height: number): void {
  wide.fill(1, 0, width);
  wide.fill(1, wide.length - width);
  for (let y = 0; y < height; y++) {
    wide[y * width] = 1;
    wide[y * width + width - 1] = 1;
  }
}
