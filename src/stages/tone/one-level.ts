import { gaussianBlur } from '../../raster/blur.js';
import { histogramOf, otsu } from '../../raster/histogram.js';
import { memoizeLast } from '../../common/memoize-last.js';
import {
  PIXELS,
  viewOf,
  type Decision,
  type TonePicture,
  type ToneJob,
  type View,
} from './view.js';

/** A flat drawing has little texture to calm, and hairlines to lose: half of the smoothing does. */
const FLAT = 0.5;

/** One level for all, set by Otsu's method over the picture. */
export function autoTone(picture: TonePicture, job: ToneJob): Decision {
  const calm = calmed(picture, FLAT * job.smoothing);
  // Values are counted at their nearest whole number, so the level's own class reaches half a step higher.
  return above(calm, otsu(histogramOf(calm.field)).level + 0.5);
}

/** One level for all, given in percent of full lightness. */
export function levelTone(picture: TonePicture, job: ToneJob): Decision {
  return above(calmed(picture, job.smoothing), (job.level / 100) * 255);
}

const calmed = memoizeLast((picture: TonePicture, sigmaMm: number): View => {
  const view = viewOf(picture, sigmaMm, PIXELS);
  return { ...view, field: gaussianBlur(view.field, sigmaMm * view.pixelsPerMm) };
});

function above({ field: { width, height, data }, factor }: View, level: number): Decision {
  return { lightness: { width, height, data: data.map((value) => value - level) }, factor };
}
