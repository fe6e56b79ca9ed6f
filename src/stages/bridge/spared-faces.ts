import { polygonMask } from '../../faces/contrast.js';
import type { Face } from '../../faces/face.js';
import { FEATURES, featureOf, midfaceOf, MISSED } from '../../faces/features.js';
import { dilated } from '../../raster/morphology.js';
import type { Bitmap } from '../../raster/raster.js';
import type { Saliency } from '../../raster/saliency.js';
import type { Point } from '../../geometry/shape.js';

/**
 * An eye or a mouth, and so much round it, in mm, matters ten times as much as what else stands out most: a bridge
 * crosses one only where there is no other way.
 */
const FEATURE = 40;
const ROUND_MM = 0.6;
/**
 * The middle of a face, between the outer corners of its eyes, matters twice as much as it would, and no place there
 * less than another that stands out a little: so a lens of glasses is bridged at its rim's outer side.
 */
const MIDDLE = 2;
const SKIN = 0.5;

/** How much each place matters, with the faces of the picture told. */
export function sparingFaces(
  saliency: Saliency,
  pixelsPerMm: number,
  faces: readonly Face[],
): Saliency {
  if (faces.length === 0) return saliency;
  const data = saliency.data.slice();
  const cellsPerMm = pixelsPerMm / saliency.cell;
  const onGrid = (points: readonly Point[]): Bitmap =>
    polygonMask(
      saliency,
      points.map(({ x, y }) => ({ x: x * cellsPerMm, y: y * cellsPerMm })),
    );
  for (const { landmarks } of faces) {
    const middle = onGrid(midfaceOf(landmarks)).data;
    for (let i = 0; i < data.length; i++)
      if (middle[i] === 1) data[i] = MIDDLE * Math.max(SKIN, data[i]);
  }
  for (const { landmarks } of faces) {
    for (const name of FEATURES.filter((each) => MISSED.has(each))) {
      const spared = dilated(onGrid(featureOf(name, landmarks).outline), ROUND_MM * cellsPerMm);
      for (let i = 0; i < data.length; i++) if (spared.data[i] === 1) data[i] = FEATURE;
    }
  }
  return { ...saliency, data };
}
