import { interpolated } from '../geometry/points.js';
import { gaussianBlur } from '../raster/blur.js';
import { opened } from '../raster/morphology.js';
import type { Bitmap } from '../raster/raster.js';
import type { Point } from '../geometry/shape.js';
import { polygonMask, type Founded } from './contrast.js';
import { skinOf } from './features.js';
import { underNose } from './face-outline.js';
import type { FaceWindow } from './window.js';

/** Skin in the light: this share of the skin above the nose's base is darker. */
const LIT = 0.6;
/** Hair is darker than halfway from skin in the light to the eyes. */
const LEVEL = 0.5;
/** Read through a blur of this σ, in mm, a moustache has no holes. */
const CALM_MM = 0.35;
/**
 * So much of either half of the upper lip is dark: in light from the side one half is. Of the whole lip, on 40 faces of 25
 * photographs, four men with a moustache had 0.78 to 0.92, and those without at most 0.46.
 */
const HAIRY = 0.55;
/** It is looked for from this share of the way from the nose's base to the lip on: above are nostrils … */
const UNDER_NOSE = 0.2;
/** … and beside the mouth, as far as if that were so many times as wide. */
const WIDER = 1.5;

/**
 * The moustache of a face, with what of it is wide enough to be cut; undefined when the picture has none.
 *
 * @param features the picture's own: its eyes tell what dark is in this face
 * @param opening the narrowest that can be cut, in mm
 * @returns on the window's pixels
 */
export function moustacheOf(
  window: FaceWindow,
  features: readonly Founded[],
  opening: number,
): Bitmap | undefined {
  const { width, height, lightness, landmarks, pixelsPerMm } = window;
  const field = { width, height, data: Float32Array.from(lightness) };
  const calm = gaussianBlur(field, CALM_MM * pixelsPerMm).data;
  const level = hairLevel(window, calm, features);
  if (level === undefined) return undefined;
  const under = [31, 32, 33, 34, 35].map((k, n) =>
    interpolated(landmarks[k], landmarks[49 + n], UNDER_NOSE),
  );
  const lip = landmarks.slice(48, 55);
  const halves = [
    [lip[0], ...under.slice(0, 3), ...lip.slice(1, 4).reverse()],
    [...under.slice(2), ...lip.slice(3).reverse()],
  ];
  const isHairy = (half: readonly Point[]): boolean => {
    const { data } = polygonMask(window, half);
    const there = calm.filter((_, i) => data[i] === 1);
    return there.filter((value) => value < level).length >= HAIRY * there.length;
  };
  if (!halves.every(isHairy)) return undefined;
  const middle = interpolated(lip[0], lip[6], 0.5);
  const wider = (k: number): Point => interpolated(middle, landmarks[k], WIDER);
  const below = [wider(54), wider(55), landmarks[56], landmarks[57], landmarks[58], wider(59)];
  const where = polygonMask(window, [wider(48), ...under, ...below]).data;
  const data = new Uint8Array(where.length);
  for (let i = 0; i < data.length; i++) data[i] = where[i] === 1 && calm[i] < level ? 1 : 0;
  return opened({ width, height, data }, (opening / 2) * pixelsPerMm);
}

/** What is darker than this may be hair; undefined where no eye tells. */
function hairLevel(
  window: FaceWindow,
  calm: Float32Array,
  features: readonly Founded[],
): number | undefined {
  const eyes = features.filter(({ name }) => name === 'right eye' || name === 'left eye');
  const skin = polygonMask(window, skinOf(window.landmarks)).data;
  const isUnder = underNose(window);
  const upper = calm.filter((_, i) => skin[i] === 1 && !isUnder(i)).sort();
  if (eyes.length === 0 || upper.length === 0) return undefined;
  const lit = upper[Math.floor(LIT * (upper.length - 1))];
  const deep = eyes.reduce((sum, { contrast }) => sum + contrast.dark, 0) / eyes.length;
  return lit - LEVEL * (lit - deep);
}
