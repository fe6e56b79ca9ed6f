import { contoursOf, type Contours } from '../../raster/contours.js';
import { viewOf, type Framed, type View } from './view.js';

/** Looks are taken on a grid of about this many mm a pixel: strokes of a pen still show. */
export const GRID_MM = 0.3;

/** The picture's contours on the grid on which a print is compared with it. */
export interface PictureContours extends Contours {
  /** How many of the sheet's pixels one of the grid's covers, each way. */
  readonly factor: number;
  readonly pixelsPerMm: number;
}

/** The view that a choice is made from, and that a print is compared with. */
export function overview(picture: Framed): View {
  return viewOf(picture, GRID_MM, 1);
}

export function contoursIn({ field, factor, pixelsPerMm }: View): PictureContours {
  return { ...contoursOf(field, pixelsPerMm), factor, pixelsPerMm };
}
