import { countOpening } from '../../raster/count.js';
import { labelRegions, regionsAlone } from '../../raster/labels.js';
import { opened } from '../../raster/morphology.js';
import { cropped } from '../../raster/crop.js';
import type { Bitmap } from '../../raster/raster.js';
import { decimated } from '../../raster/decimation.js';
import type { Job } from '../../settings/job.js';
import type { Picture } from '../read/read.js';
import type { Tone } from '../tone/tone.js';
import type { Finding } from './finding.js';

/** The grid that is looked at, in px a mm: a stroke of chalk is a millimetre wide on a card. */
const GRID_PER_MM = 4;
/** A line is narrower than this, in mm, and such lines are as good as all there is of light: chalk, white ink. By eye. */
const LINE_MM = 3;
const SHARE_OF_LINES = 0.85;
/** Most of it is of figures at least so long, in mm: stars and lamps are no drawing. */
const LONG_MM = 10;
const SHARE_OF_LONG = 0.7;
/** The ground is dark along so much of the picture's rim, and so much of the picture is cut. */
const SHARE_OF_RIM = 0.9;
const SHARE_CUT = 0.5;

/**
 * Whether a picture is drawn in light lines on a dark ground, as with chalk: its lines are film then, on bridges, and what is cut is the
 * ground. Dark and light swapped, the lines are cut.
 *
 * @param tone the openings are 1
 */
export function isLightOnDark(
  { gray, pictureBox, pixelsPerMm }: Pick<Picture, 'gray' | 'pictureBox' | 'pixelsPerMm'>,
  { bitmap }: Pick<Tone, 'bitmap'>,
): boolean {
  const factor = Math.max(1, Math.round(pixelsPerMm / GRID_PER_MM));
  const perMm = pixelsPerMm / factor;
  const part = decimated(cropped(bitmap, pictureBox), factor);
  if (countOpening(part) < SHARE_CUT * part.data.length) return false;
  const { light, long, all } = lightWithin(part, LONG_MM * perMm);
  if (all === 0 || long < SHARE_OF_LONG * all) return false;
  const broad = countOpening(opened(light, (LINE_MM * perMm) / 2));
  if (broad > (1 - SHARE_OF_LINES) * all) return false;
  const lightness = decimated(cropped(gray, pictureBox), factor);
  return darkAtRim(lightness, part, light) >= SHARE_OF_RIM;
}

/** What is light within the picture and does not reach its rim: 1 there, its area, and that of its long figures, in px. */
function lightWithin(part: Bitmap, least: number) {
  const { width, height } = part;
  const regions = labelRegions(part, 0, 4);
  const { areas, bounds, count } = regions;
  const within: number[] = [];
  let [all, long] = [0, 0];
  for (let number = 1; number <= count; number++) {
    const [left, top, right, bottom] = bounds.subarray(4 * number, 4 * number + 4);
    if (left === 0 || top === 0 || right === width - 1 || bottom === height - 1) continue;
    within.push(number);
    all += areas[number];
    if (Math.max(right - left, bottom - top) + 1 >= least) long += areas[number];
  }
  return { light: regionsAlone(regions, part, within), all, long };
}

/** The share of a picture's rim that is nearer in lightness to what is cut than to the light within. */
function darkAtRim({ width, height, data }: Bitmap, part: Bitmap, light: Bitmap): number {
  let [dark, darkCount, bright, brightCount] = [0, 0, 0, 0];
  for (let i = 0; i < data.length; i++) {
    if (part.data[i] === 1) {
      dark += data[i];
      darkCount++;
    } else if (light.data[i] === 1) {
      bright += data[i];
      brightCount++;
    }
  }
  const halfway = (dark / darkCount + bright / brightCount) / 2;
  let [count, below] = [0, 0];
  for (let y = 0; y < height; y++) {
    const step = y === 0 || y === height - 1 ? 1 : Math.max(1, width - 1);
    for (let x = 0; x < width; x += step) {
      count++;
      if (data[y * width + x] < halfway) below++;
    }
  }
  return below / count;
}

/** Whoever drew with chalk is told that the lines themselves can be cut. */
export function lightLinesTold(
  picture: Pick<Picture, 'gray' | 'pictureBox' | 'pixelsPerMm'>,
  tone: Pick<Tone, 'bitmap'>,
  { swap }: Pick<Job, 'swap'>,
): Finding[] {
  if (swap || !isLightOnDark(picture, tone)) return [];
  const message =
    'This is drawn in light lines on a dark ground, and the ground is what is cut. With `swap` the lines are cut instead, to be painted in light paint on dark.';
  return [{ level: 'warning', code: 'light-on-dark', message }];
}
