import { intersectionOverUnion } from '../raster/intersection-over-union.js';
import { labelRegions } from '../raster/labels.js';
import { dilated } from '../raster/morphology.js';
import type { Bitmap, Box } from '../raster/raster.js';
import { polygonMask, type Founded } from './contrast.js';
import { MISSED, type FeatureName } from './features.js';

/** A feature is kept by an opening that lies on it: by this intersection over union, once both are grown … */
const LIES_ON = 0.25;
/** … by so much, in mm, as a mark of a small face is larger than what it stands for. */
const GROWN_MM = 0.4;

/** Where a face was looked at, and what was found there. */
interface LookedAt {
  readonly box: Box;
  readonly features: readonly Founded[];
  readonly pixelsPerMm: number;
}

/**
 * Which of the eyes and the mouth that the picture has lack a mark of their own in a print. A large mass that covers one is
 * no mark of it.
 *
 * @param print on the sheet's pixels; dark is 1
 */
export function lostFeatures(
  print: Bitmap,
  { box, features, pixelsPerMm }: LookedAt,
): FeatureName[] {
  const { labels } = labelRegions(cut(print, box), 1, 8);
  const by = GROWN_MM * pixelsPerMm;
  return features
    .filter(({ name }) => MISSED.has(name))
    .filter(({ outline }) => {
      const feature = dilated(polygonMask(box, outline), by);
      return bestOverlap(labels, feature, by) < LIES_ON;
    })
    .map(({ name }) => name);
}

function bestOverlap(labels: Int32Array, feature: Bitmap, by: number): number {
  const touched = new Set<number>();
  for (let i = 0; i < labels.length; i++) {
    if (feature.data[i] === 1 && labels[i] > 0) touched.add(labels[i]);
  }
  let best = 0;
  for (const label of touched) {
    const data = new Uint8Array(labels.length);
    for (let i = 0; i < data.length; i++) data[i] = labels[i] === label ? 1 : 0;
    best = Math.max(
      best,
      intersectionOverUnion(dilated({ ...feature, data }, by).data, feature.data),
    );
  }
  return best;
}

function cut(print: Bitmap, { x, y, width, height }: Box): Bitmap {
  const data = new Uint8Array(width * height);
  for (let row = 0; row < height; row++) {
    const from = (y + row) * print.width + x;
    data.set(print.data.subarray(from, from + width), row * width);
  }
  return { width, height, data };
}
