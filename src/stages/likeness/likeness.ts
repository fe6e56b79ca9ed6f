import { coverage } from '../../geometry/coverage.js';
import { fieldOf } from '../../raster/field.js';
import { likenessOf, type Likeness } from '../../raster/likeness.js';
import { under } from '../../raster/pointwise.js';
import type { Bridged } from '../bridge/bridge.js';
import type { Picture } from '../read/read.js';
import type { Tone } from '../tone/tone.js';

export type { Likeness };

/** An opening covers a pixel of the grid when it covers more than half of it, which is 127.5 of 255. */
const MORE_THAN_HALF = 127.50001;

/**
 * How well the print through the finished stencil keeps the picture's contours: recall, precision and F within 1 mm
 * on the card, as boundary benchmarks count them (`likenessOf`).
 */
export function likeness(
  { gray, frame, pixelsPerMm }: Pick<Picture, 'gray' | 'frame' | 'pixelsPerMm'>,
  { contours }: Pick<Tone, 'contours'>,
  { openings }: Pick<Bridged, 'openings'>,
): Likeness {
  const drawn = coverage(openings, gray.width, gray.height, pixelsPerMm);
  const { width, height, data } = fieldOf(drawn, frame, contours.factor);
  const print = { width, height, data: under(data, MORE_THAN_HALF, 0) };
  return likenessOf(contours, print, contours.pixelsPerMm);
}
