import { countSides } from '../../raster/count.js';
import { fieldOf, type Field } from '../../raster/field.js';
import { histogramOf, otsu } from '../../raster/histogram.js';
import { labelRegions, type Regions } from '../../raster/labels.js';
import { squaredDistance } from '../../raster/distance.js';
import type { Bitmap, Box } from '../../raster/raster.js';
import { firstOfEach } from '../../raster/decimation.js';
import type { Job } from '../../settings/job.js';
import { counted } from '../../settings/words/counted.js';
import type { Picture } from '../read/read.js';
import type { Tone } from '../tone/tone.js';
import type { Finding } from './finding.js';

/** The grid that forms are looked at on, in px a mm: a cat's leg of half a millimetre is two or three of them. */
const GRID_PER_MM = 5;
/**
 * A form is small when its longer side is so many of the narrowest openings: a body, and a leg or a tail at either end with
 * film between. By eye.
 */
const SMALL = 9;
/** Round a part of the print so far, in mm, the picture's form is looked for that it stands for. */
const AROUND_MM = 1;
/**
 * A picture of small forms has so many of them at least, and it does not come out where their outlines lose detail as long as so
 * much of all the picture's contours. By eye: rows of cats lose 0.9 on 23 forms and pages of type 0.8 and more; of forty other pictures
 * those with ten forms or more lose 0.24 at most, and a dandelion, whose tufts become bars, loses 0.5 on 7.
 */
const FEWEST = 10;
const SHARE_LOST = 0.5;

/** What became of the small forms of a picture. */
export interface SmallForms {
  readonly count: number;
  /** The length of their outlines in the picture and in the print, in mm. */
  readonly pictureMm: number;
  readonly printMm: number;
}

/**
 * Compares the outlines of the small dark parts of a stencil with those that the picture has there. A likeness by contours within a
 * millimetre is blind to what is a millimetre wide, as legs, tails and the strokes of letters are: a bar in a cat's place matches all
 * of it. A form that becomes a bar has a shorter outline; one that is only made wider keeps its length.
 *
 * The picture's form is what is dark round the part, by the level that parts the two best (N. Otsu, A threshold selection method
 * from gray-level histograms, IEEE Transactions on Systems, Man, and Cybernetics 9(1), 1979).
 *
 * @param widened the openings as their widths are kept, before bridges part any of them
 */
export function smallForms(
  { gray, pixelsPerMm }: Pick<Picture, 'gray' | 'pixelsPerMm'>,
  widened: Bitmap,
  { narrowestOpening, smallestOpening }: Pick<Job, 'narrowestOpening' | 'smallestOpening'>,
): SmallForms {
  const factor = Math.max(1, Math.round(pixelsPerMm / GRID_PER_MM));
  const perMm = pixelsPerMm / factor;
  const field = fieldOf(gray, { x: 0, y: 0, width: gray.width, height: gray.height }, factor);
  const print = firstOfEach(widened, factor);
  const regions = labelRegions(print, 1, 8);
  const longest = SMALL * narrowestOpening * perMm;
  const reach = Math.ceil(AROUND_MM * perMm);
  let [count, inPicture, inPrint] = [0, 0, 0];
  for (let part = 1; part <= regions.count; part++) {
    const [left, top, right, bottom] = regions.bounds.subarray(4 * part, 4 * part + 4);
    if (Math.max(right - left, bottom - top) >= longest) continue;
    if (regions.areas[part] < smallestOpening * perMm ** 2) continue;
    const x = Math.max(0, left - reach - 1);
    const y = Math.max(0, top - reach - 1);
    const box: Box = {
      x,
      y,
      width: Math.min(print.width, right + reach + 2) - x,
      height: Math.min(print.height, bottom + reach + 2) - y,
    };
    const { own, form } = formsIn(field, regions, part, box, reach);
    count += 1;
    inPicture += countSides(form);
    inPrint += countSides(own);
  }
  return { count, pictureMm: inPicture / perMm, printMm: inPrint / perMm };
}

/** A part of the print, and what is dark in the picture round it and belongs to no other part. */
function formsIn(
  { width: stride, data: lightness }: Field,
  { labels }: Regions,
  part: number,
  { x, y, width, height }: Box,
  reach: number,
): { readonly own: Bitmap; readonly form: Bitmap } {
  const at = (i: number): number => (y + Math.floor(i / width)) * stride + x + (i % width);
  const data = Uint8Array.from({ length: width * height }, (_, i) => labels[at(i)] === part ? 1 : 0); // prettier-ignore
  const own = { width, height, data };
  const squared = squaredDistance(own, 1, reach + 1);
  const near: number[] = [];
  squared.forEach((far, i) => {
    const label = labels[at(i)];
    if (far <= reach * reach && (label === 0 || label === part)) near.push(i);
  });
  const values = Float32Array.from(near, (i) => lightness[at(i)]);
  const { level } = otsu(histogramOf({ width: values.length, height: 1, data: values }));
  const form = new Uint8Array(width * height);
  near.forEach((i, k) => (form[i] = Math.round(values[k]) <= level ? 1 : 0));
  return { own, form: { width, height, data: form } };
}

/** A picture's contours: how much each of their pixels counts. */
type WeightedContours = Pick<Tone['contours'], 'weight' | 'pixelsPerMm'>;

/** Tells of a picture of small forms that come out as bars and spots. */
export function formsLost(
  { count, pictureMm, printMm }: SmallForms,
  { contours: { weight, pixelsPerMm } }: { readonly contours: WeightedContours },
  { narrowestOpening, tool }: Pick<Job, 'narrowestOpening' | 'tool'>,
): Finding[] {
  const allMm = weight.reduce((sum, each) => sum + each, 0) / pixelsPerMm;
  if (count < FEWEST || pictureMm - printMm < SHARE_LOST * allMm) return [];
  return [
    {
      level: 'warning',
      code: 'forms-lost',
      message: `${counted(count, 'small part')} of the picture come out as bars and spots: what makes them what they are, as legs, tails or the strokes of letters do, is finer than ${narrowestOpening} mm. Crop to a few of them, ${tool === 'craft-knife' ? 'or take a larger card' : 'take a larger card, or a knife (`tool`), which cuts finer'}.`,
    },
  ];
}
