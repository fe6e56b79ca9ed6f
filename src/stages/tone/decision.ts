import { finerMarks } from '../../raster/field.js';
import type { Bitmap } from '../../raster/raster.js';
import type { Decision, PictureInBox } from './view.js';

/** The sheet with the frame's dark pixels as openings, its light ones when swapped; the rest is film. */
export function marked(
  { lightness, factor }: Decision,
  { gray, frame }: Pick<PictureInBox, 'gray' | 'frame'>,
  swap: boolean,
): Bitmap {
  return finerMarks(lightness, factor, frame, gray, 0, swap ? 0 : 1);
}
