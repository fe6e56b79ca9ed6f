import { contoursOf, type Contours } from '../../raster/contours.js';
import { memoizeLast } from '../../common/memoize-last.js';
import { viewOf, type TonePicture, type ToneJob, type View } from './view.js';

/** Looks are taken on a grid of about this many mm a pixel: strokes of a pen still show. */
export const GRID_MM = 0.3;

/** The picture's contours on the grid on which a print is compared with it. */
export interface PictureContours extends Contours {
  /** How many of the sheet's pixels one of the grid's covers, each way. */
  readonly factor: number;
  readonly pixelsPerMm: number;
}

/** What lines and masses are worked out from, and what a print is compared with. */
export interface ToneGround {
  readonly view: View;
  readonly contours: PictureContours;
}

/** The view that a choice is made from. */
export const overview = memoizeLast((picture: TonePicture): View => viewOf(picture, GRID_MM, 1));

/**
 * Ranking looks at the whole ground a dozen times, so its grid has no more pixels: a film sheet has them at 0.2
 * mm, a sheet of 18 × 24 in at 0.4 mm. At twice as many, and a tone took 7 s.
 */
const MOST_PIXELS = 2e6;

/** The ground of a picture: on the overview's grid, or a finer one where openings may be narrower than 1 mm. */
export function groundOf(picture: TonePicture, job: Pick<ToneJob, 'narrowestOpening'>): ToneGround {
  const { pictureBox, pixelsPerMm } = picture;
  const coarsest =
    Math.ceil(Math.sqrt((pictureBox.width * pictureBox.height) / MOST_PIXELS)) / pixelsPerMm;
  return groundAt(picture, Math.max(GRID_MM * Math.min(1, job.narrowestOpening), coarsest));
}

const groundAt = memoizeLast((picture: TonePicture, mm: number): ToneGround => {
  const view = viewOf(picture, mm, 1);
  return { view, contours: contoursIn(view) };
});

export function contoursIn({ field, factor, pixelsPerMm }: View): PictureContours {
  return { ...contoursOf(field, pixelsPerMm), factor, pixelsPerMm };
}
