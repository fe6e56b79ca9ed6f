import type { Point } from '../geometry/shape.js';
import { squaredDistance } from '../raster/distance.js';
import { fillPolygon } from '../raster/fill-polygon.js';
import { boxRound, partOf } from '../raster/part.js';
import type { Bitmap } from '../raster/raster.js';
import { FEATURES, featureOf, type Feature } from './features.js';
import type { FaceWindow } from './window.js';

/** A feature that the picture has, and how it stands out there. */
export interface Founded extends Feature {
  readonly contrast: Contrast;
}

/** The features of a face that the picture has darker than what is round them, those that are missed most first. */
export function foundedIn(window: FaceWindow): Founded[] {
  const features = FEATURES.map((name) => featureOf(name, window.landmarks));
  const masks = features.map(({ outline }) => polygonMask(window, outline));
  return features.flatMap((feature, k) => {
    const contrast = contrastOf(window, masks[k], masks.toSpliced(k, 1));
    return contrast ? [{ ...feature, contrast }] : [];
  });
}

/** How a feature stands out in the picture. */
interface Contrast {
  /** The lightness of its dark part, and of what is round it. */
  readonly dark: number;
  readonly light: number;
}

/** A feature is the picture's when its dark part is so many of 256 levels darker than what is round it. */
const FOUNDED = 12;
/** Its dark part: this share of it. */
const DARK_PART = 0.35;
/** What is round it lies between these distances from its outline, in mm. */
const RING: readonly [number, number] = [0.4, 2];

/**
 * How much darker a feature is than what is round it; undefined when the picture does not have it darker.
 *
 * @param others the face's other features, which are not counted as what is round it
 */
function contrastOf(
  { width, lightness, pixelsPerMm }: FaceWindow,
  mask: Bitmap,
  others: readonly Bitmap[],
): Contrast | undefined {
  const box = boxRound(mask, Math.ceil(RING[1] * pixelsPerMm));
  if (box.width === 0) return undefined;
  const away = squaredDistance(partOf(mask, box), 1, RING[1] * pixelsPerMm + 1);
  const within: number[] = [];
  const round: number[] = [];
  const [near, far] = RING.map((mm) => (mm * pixelsPerMm) ** 2);
  for (let k = 0; k < away.length; k++) {
    const i = (box.y + Math.floor(k / box.width)) * width + box.x + (k % box.width);
    if (away[k] === 0) within.push(lightness[i]);
    else if (away[k] >= near && away[k] <= far && others.every(({ data }) => data[i] === 0)) {
      round.push(lightness[i]);
    }
  }
  if (within.length === 0 || round.length === 0) return undefined;
  within.sort((a, b) => a - b);
  round.sort((a, b) => a - b);
  const part = within.slice(0, Math.max(1, Math.round(DARK_PART * within.length)));
  const dark = part.reduce((sum, value) => sum + value, 0) / part.length;
  const light = round[round.length >> 1];
  return light - dark >= FOUNDED ? { dark, light } : undefined;
}

/** The pixels in an outline, and those that its corners lie in: a line has some, too. */
export function polygonMask(
  { width, height }: Pick<FaceWindow, 'width' | 'height'>,
  outline: readonly Point[],
): Bitmap {
  const data = new Uint8Array(width * height);
  fillPolygon(
    data,
    width,
    outline.map(({ x, y }) => [x, y] as const),
    1,
  );
  for (const { x, y } of outline) {
    const [column, row] = [Math.floor(x), Math.floor(y)];
    if (column >= 0 && row >= 0 && column < width && row < height) data[row * width + column] = 1;
  }
  return { width, height, data };
}
