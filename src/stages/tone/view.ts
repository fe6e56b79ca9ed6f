import { memoizeLast } from '../../common/memoize-last.js';
import type { Job } from '../../settings/job.js';
import { fieldOf, type Field } from '../../raster/field.js';
import type { Bitmap } from '../../raster/raster.js';
import type { Picture } from '../read/read.js';

/** The settings that decide about tone. */
export type ToneJob = Pick<
  Job,
  | 'tone'
  | 'level'
  | 'masses'
  | 'detail'
  | 'finer'
  | 'swap'
  | 'smoothing'
  | 'narrowestOpening'
  | 'narrowestStrip'
  | 'smallestOpening'
  | 'smallestIsland'
>;

/** What tone needs of a picture. */
export type TonePicture = Pick<Picture, 'gray' | 'pictureBox' | 'pixelsPerMm' | 'shows'>;

/** The picture inside its box, lightness 0 to 255, on a grid that may be coarser than the sheet's. */
export interface View {
  readonly field: Field;
  readonly pixelsPerMm: number;
  /** How many of the sheet's pixels one of the view's covers, each way. */
  readonly factor: number;
}

/** How far each pixel of a view is from being dark; below 0 it is dark. */
export interface Decision {
  readonly lightness: Field;
  /** As the view's. */
  readonly factor: number;
}

/** A grid on which a blur's σ is this many pixels holds what is left after the blur. */
export const PIXELS = 1.5;

/**
 * The view on the coarsest grid on which `mm` still spans `pixels` pixels: for who smooths to that scale there
 * is nothing finer to lose.
 */
export function viewOf(
  { gray, pictureBox, pixelsPerMm }: TonePicture,
  mm: number,
  pixels: number,
): View {
  const factor = Math.max(1, Math.floor((mm * pixelsPerMm) / pixels));
  return { field: fieldOf(gray, pictureBox, factor), pixelsPerMm: pixelsPerMm / factor, factor };
}

/** Film round an overview's picture, so that what is at its edge is seen whole. In pixels. */
const RIM = 2;

/** The picture alone, with a rim of film round it, on a grid `factor` times coarser. */
export const overviewPicture = memoizeLast((picture: TonePicture, factor: number): TonePicture => {
  const { gray, pictureBox, pixelsPerMm, shows } = picture;
  const field = fieldOf(gray, pictureBox, factor);
  const [width, height] = [field.width + 2 * RIM, field.height + 2 * RIM];
  const data = new Uint8Array(width * height).fill(255);
  for (let y = 0; y < field.height; y++) {
    for (let x = 0; x < field.width; x++) {
      data[(y + RIM) * width + x + RIM] = field.data[y * field.width + x] + 0.5;
    }
  }
  return {
    gray: { width, height, data },
    pictureBox: { x: RIM, y: RIM, width: field.width, height: field.height },
    pixelsPerMm: pixelsPerMm / factor,
    shows,
  };
});

/** A tone on the grid of an overview of its picture. */
export function overviewBitmap(
  tone: Bitmap,
  { pictureBox }: TonePicture,
  small: TonePicture,
  factor: number,
): Bitmap {
  const { width, height } = small.gray;
  const share = fieldOf(tone, pictureBox, factor);
  const data = new Uint8Array(width * height);
  for (let y = 0; y < share.height; y++) {
    for (let x = 0; x < share.width; x++) {
      data[(small.pictureBox.y + y) * width + small.pictureBox.x + x] =
        share.data[y * share.width + x] > 0.5 ? 1 : 0;
    }
  }
  return { width, height, data };
}
