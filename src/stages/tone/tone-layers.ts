import type { Job } from '../../settings/job.js';
import { rasterise } from '../../geometry/rasterise.js';
import type { Shape } from '../../geometry/shape.js';
import { bilateral } from '../../raster/bilateral.js';
import { gaussianBlur } from '../../raster/blur.js';
import { squaredDistance } from '../../raster/distance.js';
import { fieldOf, type Field } from '../../raster/field.js';
import { histogramOf } from '../../raster/histogram.js';
import { otsuLevels } from '../../raster/multi-level.js';
import type { Bitmap, Gray } from '../../raster/raster.js';
import type { Picture } from '../read/read.js';
import type { Tone } from './tone.js';
import { marked } from './decision.js';
import { contoursIn, overview } from './ground.js';
import { PIXELS, viewOf, type View } from './view.js';

type LayerJob = Pick<Job, 'smoothing' | 'swap'>;

/** How the sheets of a set share the picture. */
export interface Sharing {
  /** Each lighter layer lies under the darker ones; or stops where they begin, but for an overlap. */
  readonly separate: boolean;
  /** How far a separate layer runs under the darker ones, in mm. */
  readonly overlapMm: number;
}

/** Texture is smoothed out of masses up to this many times the smoothing, but not across their edges. */
const MASSES = 2;
/** Lightness that differs by less than this is of one mass, of 255. */
const ALIKE = 28;

/** The picture's lightness as layers are parted by: calm inside its masses, 0 to 255. */
export function layerView(picture: Picture, { smoothing }: LayerJob): View {
  const view = viewOf(picture, smoothing, PIXELS);
  const sigma = smoothing * view.pixelsPerMm;
  const field = gaussianBlur(bilateral(view.field, MASSES * sigma, ALIKE), sigma);
  return { ...view, field };
}

/**
 * The levels that part a picture into layers and bare card, of 255, the lightest first: by the largest variance between
 * the classes (`otsuLevels`).
 *
 * @param mask the part of the picture that counts
 */
export function layerLevels(
  { field, factor }: View,
  { pictureBox }: Picture,
  mask: Bitmap | undefined,
  count: number,
  { swap }: LayerJob,
): number[] {
  const counted = mask ? within(field, fieldOf(mask, pictureBox, factor)) : field;
  return inOrder(
    otsuLevels(histogramOf(counted), count).map((level) => level + 0.5),
    swap,
  );
}

/** Levels given in percent of full lightness, in the order of painting, of 255. */
export function levelsGiven(percents: readonly number[], { swap }: LayerJob): number[] {
  return inOrder(
    percents.map((percent) => (percent / 100) * 255),
    swap,
  );
}

/** The layer that covers most comes first: the lightest, or the darkest where light parts are cut. */
function inOrder(levels: readonly number[], swap: boolean): number[] {
  return [...levels].sort((a, b) => (swap ? a - b : b - a));
}

/** What a layer paints, in words. */
export function sayLevel(
  level: number,
  next: number | undefined,
  { separate }: Sharing,
  { swap }: LayerJob,
): string {
  const percent = (value: number): string => `${Math.round((value / 255) * 100)} %`;
  const edge = `${swap ? 'lighter' : 'darker'} than ${percent(level)}`;
  return separate && next !== undefined
    ? `what is ${edge} but not than ${percent(next)}`
    : `all that is ${edge}`;
}

/** The values of the pixels that are mostly inside a mask, in a row. */
function within({ data }: Field, share: Field): Field {
  const inside = data.filter((_, i) => share.data[i] > 0.5);
  return { width: inside.length, height: 1, data: inside };
}

/** The tone of all that is darker than a level: one layer and those over it. */
export function layerTone(view: View, picture: Picture, level: number, { swap }: LayerJob): Bitmap {
  const { width, height, data } = view.field;
  const lightness = { width, height, data: data.map((value) => value - level) };
  return marked({ lightness, factor: view.factor }, picture, swap);
}

/**
 * What a layer paints of its tone, given what the darker layers paint.
 *
 * Nested, it is all of the tone, and what the darker layers' openings were widened to. Separate, it is what they leave,
 * and a rim under their paint, so that no card shows between two layers that are laid a little off.
 *
 * @param painted the openings of the darker layers
 */
export function layerShare(
  tone: Bitmap,
  darker: Bitmap | undefined,
  painted: readonly Shape[],
  pixelsPerMm: number,
  { separate, overlapMm }: Sharing,
): Bitmap {
  if (!darker) return tone;
  const { width, height } = tone;
  const cover = rasterise(painted, width, height, pixelsPerMm).data;
  if (!separate) return { width, height, data: tone.data.map((value, i) => value | cover[i]) };
  const own = tone.data.map((value, i) => value & (1 - darker.data[i]) & (1 - cover[i]));
  const reach = overlapMm * pixelsPerMm;
  const away = squaredDistance({ width, height, data: own }, 1, reach + 1);
  const data = own.map((value, i) => value | (cover[i] & Number(away[i] <= reach * reach)));
  return { width, height, data };
}

/** A layer's share as a tone; its own outlines are what its print is compared with. */
export function asTone(share: Bitmap, picture: Picture, why: string): Tone {
  const { width, height, data } = share;
  const gray: Gray = { width, height, data: data.map((value) => 255 * (1 - value)) };
  return {
    bitmap: share,
    mode: 'level',
    why,
    contours: contoursIn(overview({ ...picture, gray })),
  };
}
