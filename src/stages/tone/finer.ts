import type { Loop } from '../../settings/marks.js';
import { gaussianBlur } from '../../raster/blur.js';
import type { Field } from '../../raster/field.js';
import { onShown } from '../../raster/placement.js';
import { fillPolygon } from '../../raster/fill-polygon.js';
import type { Box } from '../../raster/raster.js';

/**
 * How far each pixel of a grid over the picture's box lies in the areas that an artist wants finer: 1 inside, 0 outside, and
 * a soft change between, so that no edge shows.
 *
 * @param shows the part of the picture in the box, in shares of the whole
 * @param sigma of that change, in px of the grid
 */
export function finerShare(
  areas: readonly Loop[],
  shows: Box,
  { width, height }: Pick<Field, 'width' | 'height'>,
  sigma: number,
): Field {
  const mask = new Uint8Array(width * height);
  for (const area of areas) fillPolygon(mask, width, onShown(area, shows, { width, height }), 1);
  return gaussianBlur({ width, height, data: Float32Array.from(mask) }, sigma);
}
