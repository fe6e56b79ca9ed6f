import { countOpening } from '../../raster/count.js';
import type { Point } from '../../geometry/shape.js';
import {
  findRegions,
  labelRegions,
  regionOf,
  regionsAlone,
  type RegionRuns,
} from '../../raster/labels.js';
import { opened } from '../../raster/morphology.js';
import { cropped } from '../../raster/crop.js';
import type { Bitmap } from '../../raster/raster.js';
import { decimated } from '../../raster/decimation.js';
import type { Job } from '../../settings/job.js';
import type { Bridge, Bridged } from '../bridge/bridge.js';
import type { Picture } from '../read/read.js';
import type { Tone } from '../tone/tone.js';
import type { Widened } from '../widen/widen.js';
import type { Finding } from './finding.js';

/** The grid that is looked at, in px a mm: a stroke of chalk is a millimetre wide on a card. */
const GRID_PER_MM = 4;
/** Lines of chalk or white ink are narrower than this, in mm, and make up this share of all that is light. By eye. */
const LINE_MM = 3;
const SHARE_OF_LINES = 0.85;
/** This share of the light belongs to figures at least so long, in mm: stars and lamps are no drawing. */
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

/** So many bridges from one figure to another are no face, whatever the figures were: an eye, a brow and a nose in one. By eye. */
const MANY_TIED = 3;
/** A bridge ends so far within film, in mm. */
const WITHIN_MM = 0.4;

/**
 * How many bridges tie a figure of light lines to one beside it: neither lies within the other's box, as a window lies within its house, which
 * a bridge may well hold.
 *
 * @param widened the openings as their widths are kept, before bridges part any of them
 */
export function figuresTied(
  widened: Bitmap,
  bridges: readonly Pick<Bridge, 'from' | 'to'>[],
  pixelsPerMm: number,
): number {
  const film = findRegions(widened, 0, 4);
  /** The figure beyond a bridge's end, seen from its other end. */
  const figureAt = (end: Point, other: Point): number => {
    const long = Math.hypot(end.x - other.x, end.y - other.y) || 1;
    const [x, y] = [
      end.x + (WITHIN_MM * (end.x - other.x)) / long,
      end.y + (WITHIN_MM * (end.y - other.y)) / long,
    ].map((mm) => Math.floor(mm * pixelsPerMm));
    return regionOf(film, y * widened.width + x);
  };
  return bridges.filter(({ from, to }) => {
    const [a, b] = [figureAt(from, to), figureAt(to, from)];
    // All other film lies within the box of what is round the picture.
    return a > 0 && b > 0 && !isWithin(film, a, b) && !isWithin(film, b, a);
  }).length;
}

function isWithin({ bounds }: RegionRuns, inner: number, outer: number): boolean {
  const [left, top, right, bottom] = bounds.subarray(4 * inner, 4 * inner + 4);
  const [l, t, r, b] = bounds.subarray(4 * outer, 4 * outer + 4);
  return left >= l && top >= t && right <= r && bottom <= b;
}

/** Whoever drew with chalk is told that the lines themselves can be cut. */
export function lightLinesTold(
  picture: Pick<Picture, 'gray' | 'pictureBox' | 'pixelsPerMm'>,
  tone: Pick<Tone, 'bitmap'>,
  widened: Pick<Widened, 'bitmap'>,
  { bridges }: Pick<Bridged, 'bridges'>,
  { swap }: Pick<Job, 'swap'>,
): Finding[] {
  if (swap || !isLightOnDark(picture, tone)) return [];
  const message =
    'This is drawn in light lines on a dark ground, and the ground is what is cut. With `swap` the lines are cut instead, to be painted in light paint on dark.';
  const told: Finding[] = [{ level: 'warning', code: 'light-on-dark', message }];
  const tied = figuresTied(widened.bitmap, bridges, picture.pixelsPerMm);
  if (tied < MANY_TIED) return told;
  return [
    ...told,
    {
      level: 'warning',
      code: 'light-lines-tied',
      message: `${tied} bridges tie light figures to one another that the picture has apart, as an eye to its brow: they print as one. With \`swap\` each is cut by itself.`,
    },
  ];
}
