import type { Sheet } from '../../settings/card.js';
import type { Job } from '../../settings/job.js';
import { pixelsInsideMargin } from '../../raster/placement.js';
import type { Bitmap, Box } from '../../raster/raster.js';

/** The settings that the widths are kept by. */
export type WidthSettings = Pick<
  Job,
  'margin' | 'narrowestOpening' | 'narrowestStrip' | 'smallestOpening' | 'smallestIsland'
> & {
  /** The sheet where the raster's last pixels reach beyond it: the margin is counted from its edge. */
  readonly sheet?: Sheet;
};

/** The limits in pixels, for one value: openings or film. */
export interface Rule {
  readonly value: 0 | 1;
  /** What is thinner than twice this is too thin. */
  readonly halfWidth: number;
  /** A line that is nowhere wider than twice this is too thin. */
  readonly lineHalfWidth: number;
  /** What is too thin is made twice this wide, so that easing has room. */
  readonly madeHalfWidth: number;
  /** A piece that is thin all over stays if it is at least this long or this large. */
  readonly shortest: number;
  readonly smallest: number;
}

export interface Rules {
  readonly opening: Rule;
  readonly film: Rule;
  /** Inside the margin. */
  readonly inside: Box;
}

/** Room for easing on both sides of what was widened, in mm. */
export const EASING_ROOM_MM = 0.2;
/** What the pixel grid may take from a slanted strip that is just wide enough, in px. */
const GRID_PX = 0.25;
/**
 * A line an odd number of pixels wide seems a pixel wider than it is, as one of an even number doesn't; that is half a
 * pixel on either side, and at most so much in mm where the grid is coarse.
 */
const ODD_PX = 0.5;
const ODD_MM = 0.05;
/**
 * A thin line is worth its widening when it is this many times as long as it becomes wide: shorter, it comes out as a
 * blob.
 */
const SHORTEST_LINE = 2;

/** A job's limits on a raster of so many px a millimetre. */
export function rulesFor(
  { width, height }: Bitmap,
  pixelsPerMm: number,
  job: WidthSettings,
): Rules {
  const rule = (value: 0 | 1, widthMm: number, areaMm2: number): Rule => ({
    value,
    halfWidth: (widthMm * pixelsPerMm) / 2 - GRID_PX,
    lineHalfWidth: (widthMm * pixelsPerMm) / 2 - GRID_PX + Math.min(ODD_PX, ODD_MM * pixelsPerMm),
    madeHalfWidth: ((widthMm + EASING_ROOM_MM) * pixelsPerMm) / 2,
    shortest: SHORTEST_LINE * widthMm * pixelsPerMm,
    smallest: areaMm2 * pixelsPerMm * pixelsPerMm,
  });
  const sheet = job.sheet ?? { widthMm: width / pixelsPerMm, heightMm: height / pixelsPerMm };
  return {
    opening: rule(1, job.narrowestOpening, job.smallestOpening),
    film: rule(0, job.narrowestStrip, job.smallestIsland),
    inside: pixelsInsideMargin(sheet, job.margin, pixelsPerMm),
  };
}
