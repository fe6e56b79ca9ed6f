import type { Bitmap } from '../../raster/raster.js';
import type { Stroke } from '../../raster/strokes.js';

/** By pixel on a stroke or beside its middle: the nearest place of one; -1 where there is none. */
export interface NearestPlaces {
  readonly stroke: Int32Array;
  readonly place: Int32Array;
}

/** A stroke's middle is looked for so far round it at the least, px: a ray may pass between two places. */
const LEAST_REACH_PX = 3;

/** Finds the nearest place of a stroke for each pixel on one. */
export function nearestPlaces(
  strokes: readonly Stroke[],
  { width, height }: Bitmap,
): NearestPlaces {
  const stroke = new Int32Array(width * height).fill(-1);
  const place = new Int32Array(width * height);
  const squared = new Float32Array(width * height).fill(Infinity);
  strokes.forEach(({ x, y, halfWidth }, s) => {
    for (let k = 0; k < x.length; k++) {
      const reach = Math.max(halfWidth[k] + 1, LEAST_REACH_PX);
      const [left, right] = [
        Math.max(0, Math.ceil(x[k] - reach)),
        Math.min(width - 1, x[k] + reach),
      ];
      const [top, bottom] = [
        Math.max(0, Math.ceil(y[k] - reach)),
        Math.min(height - 1, y[k] + reach),
      ];
      for (let row = top; row <= bottom; row++) {
        for (let column = left; column <= right; column++) {
          const i = row * width + column;
          const away = (column - x[k]) ** 2 + (row - y[k]) ** 2;
          if (away >= squared[i]) continue;
          squared[i] = away;
          stroke[i] = s;
          place[i] = k;
        }
      }
    }
  });
  return { stroke, place };
}
