import type { Job } from '../../settings/job.js';
import { gaussianBlur } from '../../raster/blur.js';
import { squaredDistance } from '../../raster/distance.js';
import { fieldOf, finerMarks } from '../../raster/field.js';
import type { Bitmap, Box } from '../../raster/raster.js';
import type { Picture } from '../read/read.js';
import type { Subject } from '../subject/subject.js';
import type { Tone } from './tone.js';

type Placed = Pick<Picture, 'pictureBox' | 'pixelsPerMm'>;
type SubjectBackgroundJob = Pick<
  Job,
  'background' | 'silhouette' | 'narrowestOpening' | 'narrowestStrip'
>;

/** The masses that a plain background keeps: what is smaller is blurred away, σ in mm. */
const PLAIN_MM = 2.5;
const PLAIN_GRID_MM = 0.8;
/** A contour is the subject's up to about this far outside of it, in mm. */
const NEAR_MM = 0.5;
const NEAR_SHARE = 0.05;
/** A silhouette is drawn this much wider than can be cut, in mm: room for easing. */
const LINE_ROOM_MM = 0.2;
/** A soft line is left out where dark and light meet anyway, within this many mm of the contour. */
const MEETS_MM = 1;

/**
 * Sets the subject apart in the tone: its background becomes what the job says, and a line may be drawn round it.
 * Without a subject the tone passes as it is.
 */
export function applySubject(
  tone: Tone,
  subject: Subject,
  placed: Placed,
  job: SubjectBackgroundJob,
): Tone {
  const why = [tone.why, subject.why].filter((sentence) => sentence !== '').join(' ');
  const { mask } = subject;
  if (!mask) return { ...tone, why };
  const apart = withBackground(tone.bitmap, mask, placed, job.background);
  const bitmap = job.silhouette === 'none' ? apart : withLine(apart, mask, placed, job);
  const isBare = job.background === 'film' || job.background === 'opening';
  const contours = isBare ? subjectsOwn(tone.contours, mask, placed.pictureBox) : tone.contours;
  return { ...tone, bitmap, contours, why };
}

/** The contours of the subject and its silhouette: a background that is left out is not missed in the print. */
function subjectsOwn(contours: Tone['contours'], mask: Bitmap, pictureBox: Box): Tone['contours'] {
  const { width, height, factor } = contours;
  const share = fieldOf(mask, pictureBox, factor);
  const near = gaussianBlur({ width, height, data: share.data }, NEAR_MM * contours.pixelsPerMm);
  const weight = contours.weight.map((value, i) => (near.data[i] > NEAR_SHARE ? value : 0));
  return { ...contours, weight };
}

function withBackground(
  bitmap: Bitmap,
  mask: Bitmap,
  placed: Placed,
  background: SubjectBackgroundJob['background'],
): Bitmap {
  if (background === 'as-is') return bitmap;
  const data = bitmap.data.slice();
  const plain = background === 'plain' ? largeMasses(bitmap, placed) : undefined;
  const flat = background === 'opening' ? 1 : 0;
  inBox(placed.pictureBox, bitmap.width, (i) => {
    if (mask.data[i] === 0) data[i] = plain ? plain[i] : flat;
  });
  return { ...bitmap, data };
}

/** The bitmap without all that is fine. */
function largeMasses(
  { width, height, data }: Bitmap,
  { pictureBox, pixelsPerMm }: Placed,
): Uint8Array {
  const factor = Math.max(1, Math.floor(PLAIN_GRID_MM * pixelsPerMm));
  const field = fieldOf({ width, height, data }, pictureBox, factor);
  const calm = gaussianBlur(field, (PLAIN_MM * pixelsPerMm) / factor);
  return finerMarks(calm, factor, pictureBox, { width, height }, 0.5, 0).data;
}

/** A line along the contour: opening, or film where the background is opening. */
function withLine(
  bitmap: Bitmap,
  mask: Bitmap,
  { pictureBox, pixelsPerMm }: Placed,
  job: SubjectBackgroundJob,
): Bitmap {
  const isFilm = job.background === 'opening';
  const widthMm = (isFilm ? job.narrowestStrip : job.narrowestOpening) + LINE_ROOM_MM;
  const half = (widthMm / 2) * pixelsPerMm;
  const soft = job.silhouette === 'soft' ? meetings(bitmap, pixelsPerMm) : undefined;
  const beyond = beyondSubject(mask, pictureBox);
  const toSubject = squaredDistance(mask, 1, half + 1);
  const toBackground = squaredDistance(beyond, 1, half + 1);
  const data = bitmap.data.slice();
  inBox(pictureBox, bitmap.width, (i) => {
    const away = mask.data[i] === 1 ? toBackground[i] : toSubject[i];
    if (away <= half * half && !(soft && soft[i] === 1)) data[i] = isFilm ? 0 : 1;
  });
  return { ...bitmap, data };
}

/** The picture's own background: where the picture ends there is no contour. */
function beyondSubject({ width, height, data }: Bitmap, pictureBox: Box): Bitmap {
  const beyond = new Uint8Array(data.length);
  inBox(pictureBox, width, (i) => {
    beyond[i] = 1 - data[i];
  });
  return { width, height, data: beyond };
}

/** 1 where both dark and light are near. */
function meetings(bitmap: Bitmap, pixelsPerMm: number): Uint8Array {
  const near = MEETS_MM * pixelsPerMm;
  const toDark = squaredDistance(bitmap, 1, near + 1);
  const toLight = squaredDistance(bitmap, 0, near + 1);
  return bitmap.data.map((_, i) => (toDark[i] <= near * near && toLight[i] <= near * near ? 1 : 0));
}

function inBox({ x, y, width, height }: Box, stride: number, act: (i: number) => void): void {
  for (let row = y; row < y + height; row++) {
    const end = row * stride + x + width;
    for (let i = end - width; i < end; i++) act(i);
  }
}
