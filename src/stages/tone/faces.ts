import type { Bitmap } from '../../raster/raster.js';
import type { Carry } from './candidates.js';
import { GRID_MM } from './ground.js';
import { overviewBitmap, overviewPicture, type TonePicture, type ToneJob } from './view.js';
import { drawFaces, markFaces } from './draw-faces.js';
import { withLightFeatures } from './light-features.js';
import { lostFeatures } from '../../faces/kept.js';

/**
 * Draws into a tone those faces that would lose an eye or the mouth once the widths are kept; a face that keeps them
 * all by itself is left alone: it is more like the picture than what is drawn by rule.
 */
export function withFaces(
  tone: Bitmap,
  picture: TonePicture,
  job: ToneJob,
  { faces, finish }: Carry,
): Bitmap {
  if (faces.length === 0) return tone;
  const factor = Math.max(1, Math.floor(GRID_MM * picture.pixelsPerMm));
  const small = overviewPicture(picture, factor);
  const finished = finish(overviewBitmap(tone, picture, small, factor), small.pixelsPerMm);
  // One that has no room on the coarse grid keeps little anyway: it is drawn, too.
  const whole = new Set(
    markFaces(small, faces, job)
      .filter(
        (one) => lostFeatures(finished, { ...one.window, features: one.features }).length === 0,
      )
      .map(({ face }) => face),
  );
  const losing = faces.filter((face) => !whole.has(face));
  const drawn = drawFaces(tone, markFaces(picture, losing, job), faces, job.swap);
  return withLightFeatures(drawn, picture, faces, job);
}
