import { gaussianBlur } from '../raster/blur.js';
import { squaredDistance } from '../raster/distance.js';
import { histogramOf, otsu } from '../raster/histogram.js';
import { dilated, opened } from '../raster/morphology.js';
import type { Bitmap } from '../raster/raster.js';
import { polygonMask } from './contrast.js';
import { skinOf } from './features.js';
import type { FaceWindow } from './window.js';

/** What stands round a face is looked at so far from its skin, in widths of the face: hair, the shadow under a chin. */
const BAND = 0.3;
/** Skin and what is round it are compared place by place, by means under a Gaussian of this σ, in widths of the face. */
const PLACE = 0.12;
/** What is round a face parts from it where it is so many of 256 levels darker. */
const PARTS = 24;
/** Read through a blur of this σ, in mm, a shadow has no holes and no crumbs. */
const CALM_MM = 0.4;
/** Of a line that can be cut, so much of its width must be there; it is made as wide as it takes. */
const THERE = 0.6;

/**
 * The line of jaw and hair: what stands beside a face and is darker than its skin there, by a level of its own in each
 * place, halfway between the two. Beside the upper half only what is dark counts as what stands there, for a forehead
 * that the landmarks do not reach is skin; under it is a neck, which is dark by the shadow of the chin alone. Where the
 * picture does not part them nothing is drawn.
 *
 * @param opening the narrowest that can be cut, in mm
 * @returns on the window's pixels; 1 is dark
 */
export function faceOutline(window: FaceWindow, opening: number): Bitmap {
  const { width, height, lightness, landmarks, pixelsPerMm } = window;
  const across = Math.hypot(landmarks[16].x - landmarks[0].x, landmarks[16].y - landmarks[0].y);
  const field = { width, height, data: Float32Array.from(lightness) };
  const calm = gaussianBlur(field, CALM_MM * pixelsPerMm).data;
  const skin = polygonMask(window, skinOf(landmarks)).data;
  const beside = besideOf({ width, height, data: skin }, BAND * across);
  const near = calm.filter((_, i) => skin[i] === 1 || beside[i] === 1);
  if (near.length === 0) return { width, height, data: beside };
  const { level } = otsu(histogramOf({ width: near.length, height: 1, data: near }));
  const isUnder = underNose(window);
  const dark = beside.slice();
  for (let i = 0; i < dark.length; i++) if (calm[i] > level && !isUnder(i)) dark[i] = 0;
  const onSkin = meanIn(window, skin, PLACE * across);
  const onDark = meanIn(window, dark, PLACE * across);
  const data = new Uint8Array(dark.length);
  for (let i = 0; i < data.length; i++) {
    const parts = beside[i] === 1 && onSkin[i] - onDark[i] >= PARTS;
    data[i] = parts && calm[i] < (onSkin[i] + onDark[i]) / 2 ? 1 : 0;
  }
  const half = (opening / 2) * pixelsPerMm;
  return dilated(opened({ width, height, data }, THERE * half), (1 - THERE) * half);
}

/** What lies round a mask, no further from it than this, in px. */
function besideOf(mask: Bitmap, reach: number): Uint8Array {
  const away = squaredDistance(mask, 1, reach + 1);
  const data = new Uint8Array(away.length);
  for (let i = 0; i < data.length; i++) data[i] = away[i] > 0 && away[i] <= reach * reach ? 1 : 0;
  return data;
}

/** Tells the pixels that lie on the chin's side of the nose. */
export function underNose({ width, landmarks }: FaceWindow): (i: number) => boolean {
  const [chin, bridge, nose] = [landmarks[8], landmarks[27], landmarks[33]];
  const [x, y] = [chin.x - bridge.x, chin.y - bridge.y];
  return (i) => ((i % width) - nose.x) * x + (Math.floor(i / width) - nose.y) * y > 0;
}

/** Of each pixel the mean lightness of those of a mask that are near it; NaN where there is none. */
function meanIn(
  { width, height, lightness }: FaceWindow,
  mask: Uint8Array,
  sigma: number,
): Float32Array {
  const size = { width, height };
  const share = gaussianBlur({ ...size, data: Float32Array.from(mask) }, sigma).data;
  const masked = new Float32Array(mask.length);
  for (let i = 0; i < masked.length; i++) masked[i] = lightness[i] * mask[i];
  const sum = gaussianBlur({ ...size, data: masked }, sigma).data;
  return sum.map((value, i) => (share[i] > LEAST_SHARE ? value / share[i] : NaN));
}

/** A smaller share of a mask under the Gaussian is that filter's error. */
const LEAST_SHARE = 0.005;
