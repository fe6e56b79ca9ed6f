import { finerRows } from '../../raster/field.js';
import type { Bitmap } from '../../raster/raster.js';
import type { Decision, Framed } from './view.js';

/** The sheet with the frame's dark pixels as openings, its light ones when swapped; the rest is film. */
export function marked(
  { lightness, factor }: Decision,
  { gray, frame }: Pick<Framed, 'gray' | 'frame'>,
  swap: boolean,
): Bitmap {
  const data = new Uint8Array(gray.width * gray.height);
  finerRows(lightness, factor, frame.width, frame.height, (row, y) => {
    const start = (frame.y + y) * gray.width + frame.x;
    for (let x = 0; x < row.length; x++) data[start + x] = row[x] < 0 !== swap ? 1 : 0;
  });
  return { width: gray.width, height: gray.height, data };
}
