import { memoizeLast } from '../common/memoize-last.js';
import type { Point } from '../geometry/shape.js';
import { squaredDistance } from '../raster/distance.js';
import { fillPolygon } from '../raster/fill-polygon.js';
import { boxRound, cropped } from '../raster/crop.js';
import type { Bitmap } from '../raster/raster.js';
import { nearby, onDarkest } from './brows.js';
import { FEATURES, featureOf, MISSED, skinOf, type Feature, type FeatureName } from './features.js';
import type { FaceWindow } from './window.js';

/** A feature that the picture has, and how it stands out there. */
export interface Founded extends Feature {
  readonly contrast: Contrast;
}

/** A feature that the picture has lighter than what is round it: the white of an eye, or teeth, in a dark face. */
export interface LightFeature extends Founded, FeatureRing {}

/** The features of a face that the picture has darker than what is round them, those that are missed most first. */
export const foundedIn = memoizeLast((window: FaceWindow): readonly Founded[] => {
  const features = featuresIn(window);
  const around = surroundings(window);
  const contrasts = around.map((one) => darkContrast(window.lightness, one));
  return features.flatMap((feature, k) => {
    const contrast = contrasts[k];
    if (!contrast) return [];
    const eye = EYE_UNDER[feature.name];
    const skin = eye && contrasts[FEATURES.indexOf(eye)]?.light;
    return skin !== undefined && contrast.light < ON_SKIN * skin ? [] : [{ ...feature, contrast }];
  });
});

/**
 * Eyes and mouth, where the picture has none of a feature darker and much of it lighter than what is round it, and than the
 * face's skin: a lid in the light between shadows is no eye.
 */
export const lightIn = memoizeLast((window: FaceWindow): readonly LightFeature[] => {
  const { lightness } = window;
  const features = featuresIn(window);
  const skin = indicesOf(polygonMask(window, skinOf(window.landmarks)));
  if (skin.length === 0) return [];
  const least = median(lightness, skin) + FOUNDED;
  return surroundings(window).flatMap((around, k) => {
    if (!MISSED.has(FEATURES[k]) || darkContrast(lightness, around)) return [];
    const contrast = lightContrast(lightness, around);
    return contrast && contrast.light >= least ? [{ ...features[k], contrast, ...around }] : [];
  });
});

/** Where a brow should be, what is round it is at least this share as light as what is round its eye: else it is hair. */
const ON_SKIN = 0.55;
const EYE_UNDER: Readonly<Partial<Record<FeatureName, FeatureName>>> = {
  'right brow': 'right eye',
  'left brow': 'left eye',
};

/** How a feature stands out in the picture. */
interface Contrast {
  /** The lightness of its dark part and of what is round it, or of what is round it and of its light part. */
  readonly dark: number;
  readonly light: number;
}

/** A feature is the picture's when it is so many of 256 levels darker or lighter than what is round it: … */
const FOUNDED = 12;
/** … its dark part, this share of it; … */
const DARK_PART = 0.35;
/** … or all of its light part, this share: a glint on a lens is no eye. */
const LIGHT_PART = 0.4;
/** What is round it lies between these distances from its outline, in mm. */
const RING: readonly [number, number] = [0.4, 2];

/** Where a feature is, and what is round it, as indices of the window's pixels. */
interface FeatureRing {
  readonly within: readonly number[];
  /** A ring round it, without the face's other features. */
  readonly round: readonly number[];
}

/** In the order of `FEATURES`. */
const featuresIn = memoizeLast((window: FaceWindow): readonly Feature[] => {
  const features = FEATURES.map((name) => {
    const feature = featureOf(name, window.landmarks);
    return name === 'right brow' || name === 'left brow' ? onDarkest(feature, window) : feature;
  });
  const mouth = FEATURES.indexOf('mouth');
  return features.with(mouth, foundNearby(features, mouth, window));
});

/**
 * A feature as the landmarks have it, where the picture has it darker there; else where, a little up or down the face, it stands out most.
 * A thin mouth may lie wholly beside its landmarks, which are off by some hundredths of a face's width.
 */
function foundNearby(features: readonly Feature[], k: number, window: FaceWindow): Feature {
  const others = features.toSpliced(k, 1).map(({ outline }) => polygonMask(window, outline));
  const standsOut = ({ outline }: Feature): number => {
    const mask = polygonMask(window, outline);
    const contrast = darkContrast(window.lightness, surroundingsOf(window, mask, others));
    return contrast ? contrast.light - contrast.dark : 0;
  };
  if (standsOut(features[k]) > 0) return features[k];
  const tried = nearby(features[k], window).map((feature) => ({ feature, by: standsOut(feature) }));
  const best = tried.reduce((a, b) => (b.by > a.by ? b : a));
  return best.by > 0 ? best.feature : features[k];
}

/** Of each feature, in the order of `FEATURES`. */
const surroundings = memoizeLast((window: FaceWindow): readonly FeatureRing[] => {
  const masks = featuresIn(window).map(({ outline }) => polygonMask(window, outline));
  return masks.map((mask, k) => surroundingsOf(window, mask, masks.toSpliced(k, 1)));
});

function surroundingsOf(
  { width, pixelsPerMm }: FaceWindow,
  mask: Bitmap,
  others: readonly Bitmap[],
): FeatureRing {
  const box = boxRound(mask, Math.ceil(RING[1] * pixelsPerMm));
  const within: number[] = [];
  const round: number[] = [];
  if (box.width === 0) return { within, round };
  const away = squaredDistance(cropped(mask, box), 1, RING[1] * pixelsPerMm + 1);
  const [near, far] = RING.map((mm) => (mm * pixelsPerMm) ** 2);
  for (let k = 0; k < away.length; k++) {
    const i = (box.y + Math.floor(k / box.width)) * width + box.x + (k % box.width);
    if (away[k] === 0) within.push(i);
    else if (away[k] >= near && away[k] <= far && others.every(({ data }) => data[i] === 0)) {
      round.push(i);
    }
  }
  return { within, round };
}

/** Undefined when the picture does not have the feature darker. */
function darkContrast(lightness: Uint8Array, { within, round }: FeatureRing): Contrast | undefined {
  if (within.length === 0 || round.length === 0) return undefined;
  const values = inOrder(lightness, within);
  const dark = mean(values.slice(0, partOfAll(values, DARK_PART)));
  const light = median(lightness, round);
  return light - dark >= FOUNDED ? { dark, light } : undefined;
}

/** Undefined when the picture does not have the feature lighter. */
function lightContrast(
  lightness: Uint8Array,
  { within, round }: FeatureRing,
): Contrast | undefined {
  if (within.length === 0 || round.length === 0) return undefined;
  const values = inOrder(lightness, within);
  const part = values.slice(-partOfAll(values, LIGHT_PART));
  const dark = median(lightness, round);
  return part[0] - dark >= FOUNDED ? { dark, light: mean(part) } : undefined;
}

const partOfAll = ({ length }: Uint8Array, share: number): number =>
  Math.max(1, Math.round(share * length));

function inOrder(lightness: Uint8Array, places: readonly number[]): Uint8Array {
  const values = new Uint8Array(places.length);
  for (let k = 0; k < values.length; k++) values[k] = lightness[places[k]];
  return values.sort();
}

function indicesOf({ data }: Bitmap): number[] {
  const indices: number[] = [];
  for (let i = data.indexOf(1); i >= 0; i = data.indexOf(1, i + 1)) indices.push(i);
  return indices;
}

const median = (lightness: Uint8Array, places: readonly number[]): number =>
  inOrder(lightness, places)[places.length >> 1];

const mean = (values: Uint8Array): number =>
  values.reduce((sum, value) => sum + value, 0) / values.length;

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
