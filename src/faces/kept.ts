import { memoizeLast } from '../common/memoize-last.js';
import { labelRegions, type Regions } from '../raster/labels.js';
import { dilated } from '../raster/morphology.js';
import { boxRound, cropped } from '../raster/crop.js';
import type { Bitmap, Box } from '../raster/raster.js';
import { lightIn, polygonMask, type Founded, type LightFeature } from './contrast.js';
import { MISSED, type FeatureName } from './features.js';
import type { FaceWindow } from './window.js';

/** A feature is kept by an opening that lies on it: by this intersection over union, once both are grown … */
const LIES_ON = 0.25;
/** … by so much, in mm, as a mark of a small face is larger than what it stands for. */
const GROWN_MM = 0.4;

/** A feature lies in the dark when so much of what is round it is dark … */
const IN_THE_DARK = 0.6;
/** … and is kept there when so much of it is light. */
const IS_LIGHT = 0.5;

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
  const regions = labelRegions(cropped(print, box), 1, 8);
  const by = GROWN_MM * pixelsPerMm;
  return features
    .filter(({ name }) => MISSED.has(name))
    .filter((feature) => !isLainOn(grownMask(feature, box.width, box.height, by), regions, by))
    .map(({ name }) => name);
}

/** A light feature that has dark all round it in a print. */
interface InTheDark extends LightFeature {
  /** Whether it is dark there, too. */
  readonly isLost: boolean;
}

/**
 * Those of the eyes and the mouth that the picture has lighter than what is round them, as the white of an eye or teeth, and
 * that lie in the dark in a print.
 *
 * @param print on the sheet's pixels
 * @param dark the value of what is dark there: 0 when it is swapped
 */
export function lightInTheDark(print: Bitmap, window: FaceWindow, dark: 0 | 1 = 1): InTheDark[] {
  const { data } = cropped(print, window.box);
  const darkOf = (places: readonly number[]): number =>
    places.filter((i) => data[i] === dark).length / places.length;
  return lightIn(window)
    .filter(({ round }) => darkOf(round) >= IN_THE_DARK)
    .map((feature) => ({ ...feature, isLost: darkOf(feature.within) > 1 - IS_LIGHT }));
}

/** A feature, grown, and the box that it lies in. */
const grownMask = memoizeLast(
  (
    { outline }: Founded,
    width: number,
    height: number,
    by: number,
  ): { readonly mask: Bitmap; readonly box: Box; readonly area: number } => {
    const mask = dilated(polygonMask({ width, height }, outline), by);
    return { mask, box: boxRound(mask, 0), area: mask.data.reduce((sum, value) => sum + value, 0) };
  },
);

/** Whether one of the regions lies on a feature, once both are grown. */
function isLainOn(
  { mask, box, area }: ReturnType<typeof grownMask>,
  { labels, areas, bounds }: Regions,
  by: number,
): boolean {
  const { width, height, data } = mask;
  const touched = new Set<number>();
  for (let y = box.y; y < box.y + box.height; y++) {
    for (let i = y * width + box.x; i < y * width + box.x + box.width; i++)
      if (data[i] === 1 && labels[i] > 0) touched.add(labels[i]);
  }
  // What is so much larger than the feature has too little in common with it.
  return [...touched]
    .filter((label) => areas[label] * LIES_ON <= area)
    .some((label) => {
      const [left, top, right, bottom] = bounds.subarray(4 * label, 4 * label + 4);
      const far = Math.ceil(by);
      const [x, y] = [Math.max(0, left - far), Math.max(0, top - far)];
      const round = {
        x,
        y,
        width: Math.min(width, right + far + 1) - x,
        height: Math.min(height, bottom + far + 1) - y,
      };
      const region = new Uint8Array(round.width * round.height);
      const there = cropped(mask, round).data;
      for (let k = 0; k < region.length; k++) {
        const i = (y + Math.floor(k / round.width)) * width + x + (k % round.width);
        region[k] = labels[i] === label ? 1 : 0;
      }
      const grown = dilated({ ...round, data: region }, by).data;
      let [both, all] = [0, area];
      for (let k = 0; k < grown.length; k++) {
        both += grown[k] & there[k];
        all += grown[k] & (1 - there[k]);
      }
      return both >= LIES_ON * all;
    });
}
