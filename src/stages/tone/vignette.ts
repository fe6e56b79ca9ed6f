import type { Job } from '../../settings/job.js';
import type { Face } from '../../faces/face.js';
import { boxOfPoints } from '../../geometry/bounding-box.js';
import { gaussianBlur } from '../../raster/blur.js';
import { fieldOf, upsampled, type Field } from '../../raster/field.js';
import { labelRegions, regionsAlone } from '../../raster/labels.js';
import { cropped } from '../../raster/crop.js';
import type { Bitmap } from '../../raster/raster.js';
import type { Picture } from '../read/read.js';
import type { Tone } from './tone.js';

type Pictured = Pick<Picture, 'gray' | 'pictureBox' | 'pixelsPerMm'>;
type VignetteJob = Pick<Job, 'vignette' | 'fit' | 'swap' | 'repeat' | 'fold'>;

/**
 * The exponent of the superellipse (Lamé's curve) that the frame is drawn round: 2 is an ellipse, more a rectangle. No
 * side of it is straight.
 */
const EXPONENT = 3;
/** Within it masses end at these shares of its radius, the most certain one and the least. By eye, on 19 photographs. */
const [DARKEST_ENDS, LIGHTEST_ENDS] = [0.97, 0.78];
/** How dark it is round about, σ in mm, on a grid of so many: what is smaller does not fray the edge. By eye. */
const [AROUND_MM, GRID_MM] = [3, 0.5];
/** Shares of what is dark that are as dark as the darkest, and as light as the lightest. */
const [DARKEST, LIGHTEST] = [0.1, 0.9];
/** No less than this of 255 lies between them: the grain of an even ground decides nothing. */
const LEAST_RANGE = 24;
/**
 * Dark that runs so far along the frame, in mm, and is so deep there, is a mass that the frame cuts; a branch leads out of
 * the picture, and a line along its edge is drawn. By eye.
 */
const [LONG_MM, DEEP_MM] = [12, 3];
/** From this share of the frame's length on `auto` takes it off. Of 19 photographs those looked better so. */
const MUCH = 0.3;

/**
 * Ends the masses that the frame of a picture cuts in an uneven, rounded line before it: the frame of a photograph is no
 * line of the picture, and cut as one it is the longest of all. The darker a mass is, the nearer it comes to the frame, so
 * that the line follows the picture.
 *
 * @param faces stay whole, with their hair, however near to the frame they are
 * @param isPhotograph asked only where it matters
 */
export function vignette(
  tone: Tone,
  picture: Pictured,
  faces: readonly Pick<Face, 'landmarks'>[],
  job: VignetteJob,
  isPhotograph: () => boolean,
): Tone {
  if (job.vignette === 'none') return tone;
  const part = cropped(tone.bitmap, picture.pictureBox);
  const { places, share, isCutAbove } = cutAtFrame(part, picture.pixelsPerMm);
  if (share === 0) return tone;
  if (job.vignette === 'auto') {
    const fills = job.fit === 'fill' || job.repeat !== 'none' || job.fold !== 'none';
    // What is dark at the foot and not above is ground, or stands on it: hills, a coat.
    if (fills || share < MUCH || !isCutAbove || !isPhotograph()) return tone;
  }
  const masses = massesWith(places, part);
  const gone = beyondEdge(masses, part, tone.bitmap, picture, headsOf(faces, picture), job.swap);
  if (!gone.data.includes(1)) return tone;
  const data = tone.bitmap.data.slice();
  for (let i = 0; i < data.length; i++) if (gone.data[i] === 1) data[i] = 0;
  const told = `Its frame cuts dark masses along ${Math.round(100 * share)} % of its length, so they end in an uneven, rounded line before it: a vignette.`;
  return {
    ...tone,
    bitmap: { ...tone.bitmap, data },
    contours: withoutThose(tone.contours, gone, picture),
    why: [tone.why, told].filter((sentence) => sentence !== '').join(' '),
  };
}

/** Contours beyond the edge are not missed in the print. */
function withoutThose(contours: Tone['contours'], gone: Bitmap, { pictureBox }: Pictured) {
  const share = fieldOf(gone, pictureBox, contours.factor);
  return {
    ...contours,
    weight: contours.weight.map((value, i) => (share.data[i] > 0 ? 0 : value)),
  };
}

/** An upright ellipse in px of the frame. */
interface Ellipse {
  readonly x: number;
  readonly y: number;
  readonly across: number;
  readonly up: number;
}

/** A head with its hair reaches so far beyond the box round a face's landmarks, in shares of that. By eye. */
const [BESIDE, ABOVE] = [0.4, 0.6];

function headsOf(faces: readonly Pick<Face, 'landmarks'>[], { pixelsPerMm }: Pictured): Ellipse[] {
  return faces.map(({ landmarks }) => {
    const [left, top, right, chin] = boxOfPoints(landmarks).map((mm) => mm * pixelsPerMm);
    const [wide, high] = [right - left, chin - top];
    // An ellipse round a box is larger than it by the root of 2.
    return {
      x: (left + right) / 2,
      y: (top + chin - ABOVE * high) / 2,
      across: (1 + BESIDE) * wide * Math.SQRT1_2,
      up: (1 + ABOVE) * high * Math.SQRT1_2,
    };
  });
}

const isWithin = ({ x, y, across, up }: Ellipse, px: number, py: number): boolean =>
  ((px - x) / across) ** 2 + ((py - y) / up) ** 2 < 1;

/** Of the masses what lies beyond the vignette's edge: 1 there, on the whole sheet. */
function beyondEdge(
  masses: Bitmap,
  part: Bitmap,
  bitmap: Bitmap,
  picture: Pictured,
  heads: readonly Ellipse[],
  swap: boolean,
): Bitmap {
  const { pictureBox, gray, pixelsPerMm } = picture;
  const { width, height } = pictureBox;
  const factor = Math.max(1, Math.round(GRID_MM * pixelsPerMm));
  const around = gaussianBlur(
    fieldOf(gray, pictureBox, factor),
    (AROUND_MM * pixelsPerMm) / factor,
  );
  const certain = upsampled(certainty(around, part, factor, swap), factor, width, height);
  const data = new Uint8Array(bitmap.data.length);
  for (let y = 0; y < height; y++) {
    const v = Math.abs((2 * y + 1) / height - 1) ** EXPONENT;
    for (let x = 0; x < width; x++) {
      const i = y * width + x;
      if (masses.data[i] === 0) continue;
      const u = Math.abs((2 * x + 1) / width - 1) ** EXPONENT;
      const ends = LIGHTEST_ENDS + (DARKEST_ENDS - LIGHTEST_ENDS) * certain.data[i];
      if (u + v <= ends ** EXPONENT || heads.some((head) => isWithin(head, x, y))) continue;
      data[(y + pictureBox.y) * bitmap.width + x + pictureBox.x] = 1;
    }
  }
  return { ...bitmap, data };
}

/** Block by block how certainly it is dark, from 0 to 1; where dark and light are swapped, how certainly light. */
function certainty(
  around: Field,
  { width, height, data }: Bitmap,
  factor: number,
  swap: boolean,
): Field {
  const inBlock = fieldOf({ width, height, data }, { x: 0, y: 0, width, height }, factor);
  const levels = around.data.map((value) => (swap ? 255 - value : value));
  const dark = levels.filter((_, i) => inBlock.data[i] > 0.5).sort();
  const at = (share: number): number =>
    dark[Math.min(dark.length - 1, Math.floor(share * dark.length))] ?? 0;
  const [low, high] = [at(DARKEST), at(LIGHTEST)];
  const range = Math.max(high - low, LEAST_RANGE);
  return {
    ...around,
    data: levels.map((value) => Math.min(1, Math.max(0, 1 - (value - low) / range))),
  };
}

/**
 * Where the frame cuts dark masses along a stretch: a pixel of each stretch, by number in what lies in the frame, the share
 * of the frame's length that they take, and whether any lies along its upper side.
 */
function cutAtFrame(
  { width, height, data }: Bitmap,
  pixelsPerMm: number,
): { readonly places: readonly number[]; readonly share: number; readonly isCutAbove: boolean } {
  const deep = Math.min(Math.round(DEEP_MM * pixelsPerMm), width, height);
  const places: number[] = [];
  let cut = 0;
  const along = (length: number, at: (way: number, depth: number) => number): void => {
    const isDeep = (way: number): boolean => {
      for (let depth = 0; depth < deep; depth++) if (data[at(way, depth)] === 0) return false;
      return true;
    };
    let start = 0;
    for (let way = 0; way <= length; way++) {
      if (way < length && isDeep(way)) continue;
      if (way - start >= LONG_MM * pixelsPerMm) {
        cut += way - start;
        places.push(at(start, 0));
      }
      start = way + 1;
    }
  };
  along(width, (x, y) => y * width + x);
  const isCutAbove = places.length > 0;
  along(width, (x, y) => (height - 1 - y) * width + x);
  along(height, (y, x) => y * width + x);
  along(height, (y, x) => y * width + width - 1 - x);
  return { places, share: cut / (2 * (width + height)), isCutAbove };
}

/** The dark regions that hold some pixels. */
function massesWith(places: readonly number[], bitmap: Bitmap): Bitmap {
  const regions = labelRegions(bitmap, 1, 4);
  return regionsAlone(
    regions,
    bitmap,
    places.map((place) => regions.labels[place]),
  );
}
