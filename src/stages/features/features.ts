import { foundedIn } from '../../faces/contrast.js';
import type { Face } from '../../faces/face.js';
import { ROOM_MM, ROOM_SHARE } from '../../faces/feature-marks.js';
import { MISSED, type FeatureName } from '../../faces/features.js';
import { lightInTheDark, lostFeatures } from '../../faces/kept.js';
import { isInProfile } from '../../faces/plausible.js';
import { windowOf } from '../../faces/window.js';
import { halfCovered } from '../../geometry/coverage.js';
import type { Shape } from '../../geometry/shape.js';
import type { Bitmap } from '../../raster/raster.js';
import type { Job } from '../../settings/job.js';
import type { Picture } from '../read/read.js';
import { cropToFaces } from './crop-to-faces.js';

/** What became of a face in the finished stencil. */
interface FaceKept {
  /** Its middle, in mm from the sheet's left and top edge. */
  readonly at: readonly [number, number];
  readonly widthMm: number;
  /** Of its eyes and its mouth, those that the picture has darker than what is round them, or light in the dark … */
  readonly had: readonly FeatureName[];
  /** … and those of them that have no mark of their own in the print, or no film. */
  readonly lost: readonly FeatureName[];
}

export interface FacesKept {
  readonly faces: readonly FaceKept[];
  /** From this width on, in mm, two eyes and a mouth can be cut as marks of their own. */
  readonly wideEnoughMm: number;
  /** The crop, in percent of the picture, on which the faces that lost something are that wide; null when there is none. */
  readonly crop: string | null;
}

type FeaturesJob = Pick<Job, 'narrowestOpening' | 'narrowestStrip' | 'smallestOpening'>;

/** Of a face's width, the eyes are so far apart: common practice, no source. */
const EYES_APART = 0.42;

/** The print of a picture, once for each time that it is on the sheet. */
export interface Printed {
  /** On the picture's own pixels. */
  readonly print: Bitmap;
  /** Where a place of the picture, in px, lies on the sheet, in mm. */
  readonly onSheet: (place: readonly [number, number]) => readonly [number, number];
  /** How large it is there; 1 is the size that it was read at. */
  readonly scale: number;
}

/** What is printed once, as it lies on the sheet. */
export function printedOnce(
  { gray, pixelsPerMm }: Pick<Picture, 'gray' | 'pixelsPerMm'>,
  openings: readonly Shape[],
): Printed {
  return {
    print: halfCovered(openings, gray.width, gray.height, pixelsPerMm),
    onSheet: ([x, y]) => [x / pixelsPerMm, y / pixelsPerMm],
    scale: 1,
  };
}

/** Looks which eyes and mouths the finished openings keep. */
export function features(
  picture: Pick<Picture, 'gray' | 'pictureBox' | 'pixelsPerMm' | 'shows'>,
  faces: readonly Face[],
  printed: readonly Printed[],
  job: FeaturesJob,
): FacesKept {
  const wideEnoughMm = wideEnough(job);
  if (faces.length === 0) return { faces: [], wideEnoughMm, crop: null };
  const { pictureBox, pixelsPerMm } = picture;
  const inEach = faces.map((face) => {
    const window = windowOf(picture, face);
    return window && !isInProfile(face.landmarks)
      ? { face, window, founded: foundedIn(window) }
      : undefined;
  });
  const seen = inEach.filter((each) => each !== undefined);
  const kept = printed.flatMap(({ print, onSheet, scale }) =>
    seen.map(({ face, window, founded }): FaceKept => {
      const light = lightInTheDark(print, window);
      const middle = face.landmarks[30];
      return {
        at: onSheet([pictureBox.x + middle.x * pixelsPerMm, pictureBox.y + middle.y * pixelsPerMm]),
        widthMm: scale * face.widthMm,
        had: [...founded, ...light].map(({ name }) => name).filter((name) => MISSED.has(name)),
        lost: [
          ...lostFeatures(print, { ...window, features: founded }),
          ...light.flatMap(({ name, isLost }) => (isLost ? [name] : [])),
        ],
      };
    }),
  );
  const losing = kept.filter(({ lost }) => lost.length > 0).map(({ widthMm }) => widthMm);
  const whole = kept.filter(({ lost }) => lost.length === 0).map(({ widthMm }) => widthMm);
  // Wide enough for the others of this picture is wide enough.
  const wanted = Math.min(wideEnoughMm, ...whole);
  const crop = losing.length > 0 ? cropToFaces(picture, faces, wanted / Math.min(...losing)) : null;
  return { faces: kept, wideEnoughMm, crop };
}

/** How many eyes and mouths are lost in all. */
export function lostCount({ faces }: FacesKept): number {
  return faces.reduce((sum, { lost }) => sum + lost.length, 0);
}

/** Two marks for the eyes, each of the smallest opening, and a strip of film between them. */
function wideEnough({ narrowestOpening, narrowestStrip, smallestOpening }: FeaturesJob): number {
  const thick = narrowestOpening + ROOM_MM;
  const round = (Math.PI * thick * thick) / 4;
  const long = thick + Math.max(0, (smallestOpening * (1 + ROOM_SHARE) - round) / thick);
  return (long + narrowestStrip + ROOM_MM) / EYES_APART;
}
