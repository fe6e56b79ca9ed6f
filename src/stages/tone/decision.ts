import { finerMarks } from '../../raster/field.js';
import type { Bitmap } from '../../raster/raster.js';
import type { Decision, TonePicture } from './view.js';

/** The sheet with the picture's dark pixels as openings, its light ones when swapped; the rest is film. */
export function marked(
  { lightness, factor }: Decision,
  { gray, pictureBox }: Pick<TonePicture, 'gray' | 'pictureBox'>,
  swap: boolean,
): Bitmap {
  return finerMarks(lightness, factor, pictureBox, gray, 0, swap ? 0 : 1);
}
