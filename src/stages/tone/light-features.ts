import type { LightFeature } from '../../faces/contrast.js';
import type { Face } from '../../faces/face.js';
import { lightInTheDark } from '../../faces/kept.js';
import { featureMark, ROOM_MM, unionOf } from '../../faces/feature-marks.js';
import { isInProfile } from '../../faces/plausible.js';
import { windowOf, type FaceWindow } from '../../faces/window.js';
import { squaredDistance } from '../../raster/distance.js';
import { labelRegions } from '../../raster/labels.js';
import { dilated, opened } from '../../raster/morphology.js';
import { cropped } from '../../raster/crop.js';
import type { Bitmap } from '../../raster/raster.js';
import { stampLine } from '../../raster/stamp-line.js';
import type { TonePicture, ToneJob } from './view.js';

type LightJob = Pick<
  ToneJob,
  'narrowestOpening' | 'narrowestStrip' | 'smallestOpening' | 'smallestIsland' | 'swap'
>;

/** From this width on, in narrowest openings, a face's light features are as the tone has them: lines, not spots. */
const LARGEST = 25;
/** What can't be an island is joined to film that is no further than this, in narrowest strips: further, a bar crosses the face. */
const FURTHEST = 2.5;

/**
 * Keeps the light features of faces that are dark: the white of an eye or teeth that the picture has lighter than what is
 * round them stay film where the tone has all of that dark. One with room for an island is one, and bridges hold it; a
 * smaller one is joined to film beside it. What the picture does not have lighter stays part of the dark.
 */
export function withLightFeatures(
  tone: Bitmap,
  picture: TonePicture,
  faces: readonly Face[],
  job: LightJob,
): Bitmap {
  let laid: Bitmap | undefined;
  for (const face of faces) {
    const window = windowOf(picture, face);
    const isLarge = face.widthMm > LARGEST * job.narrowestOpening;
    if (!window || isLarge || isInProfile(face.landmarks)) continue;
    for (const feature of lightInTheDark(laid ?? tone, window, job.swap ? 0 : 1)) {
      const light = lightMark(window, feature, tone, job);
      if (!light) continue;
      laid ??= { ...tone, data: tone.data.slice() };
      lay(laid, light, window, job);
    }
  }
  return laid ?? tone;
}

/**
 * What is to be light for a light feature; undefined where it can't be kept.
 *
 * @param tone before anything was laid: one eye joined to the other would be a bar across the nose
 */
function lightMark(
  window: FaceWindow,
  feature: LightFeature,
  tone: Bitmap,
  job: LightJob,
): Bitmap | undefined {
  const { narrowestStrip, narrowestOpening, smallestIsland, smallestOpening } = job;
  // Swapped, what is light is cut.
  if (job.swap) {
    return featureMark(
      window,
      feature,
      { opening: narrowestOpening, smallest: smallestOpening },
      true,
    );
  }
  const island = featureMark(
    window,
    feature,
    { opening: narrowestStrip, smallest: smallestIsland },
    true,
  );
  if (island) return island;
  const small = featureMark(window, feature, { opening: narrowestStrip, smallest: 0 }, true);
  const join = small && joinOf(small, cropped(tone, window.box), window, job);
  return join && unionOf([small, join]);
}

/** A strip from a mark to the film beside it that is no crumb; undefined where there is none near enough. */
function joinOf(
  mark: Bitmap,
  tone: Bitmap,
  { pixelsPerMm }: FaceWindow,
  { narrowestStrip, smallestIsland }: LightJob,
): Bitmap | undefined {
  const { width, height } = mark;
  const most = FURTHEST * narrowestStrip * pixelsPerMm;
  const { labels, areas } = labelRegions(tone, 0, 4);
  const film = new Uint8Array(labels.length);
  for (let i = 0; i < film.length; i++) {
    film[i] = labels[i] > 0 && areas[labels[i]] >= smallestIsland * pixelsPerMm ** 2 ? 1 : 0;
  }
  const from = nearestOf(mark, { width, height, data: film }, most);
  if (from === undefined) return undefined;
  const ground = new Uint8Array(film.length);
  ground[from] = 1;
  const to = nearestOf({ width, height, data: film }, { width, height, data: ground }, most + 1);
  if (to === undefined) return undefined;
  const ends = [from, to];
  const data = new Uint8Array(film.length);
  const radius = ((narrowestStrip + ROOM_MM) / 2) * pixelsPerMm;
  stampLine(
    data,
    width,
    height,
    ends.map((i) => (i % width) + 0.5),
    ends.map((i) => Math.floor(i / width) + 0.5),
    radius,
  );
  return { width, height, data };
}

/** The pixel of one that is nearest to another, as an index; undefined when that is further than `most`, in px. */
function nearestOf(one: Bitmap, other: Bitmap, most: number): number | undefined {
  const away = squaredDistance(other, 1, most);
  let nearest: number | undefined;
  for (let i = one.data.indexOf(1); i >= 0; i = one.data.indexOf(1, i + 1)) {
    if (away[i] <= most * most && away[i] < (nearest === undefined ? Infinity : away[nearest]))
      nearest = i;
  }
  return nearest;
}

/** Lays what is light into a tone, which is changed; what dark beside it can't be cut becomes light, too. */
function lay(tone: Bitmap, light: Bitmap, { box, pixelsPerMm }: FaceWindow, job: LightJob): void {
  const value = job.swap ? 1 : 0;
  const there = cropped(tone, box).data;
  const dark = new Uint8Array(there.length);
  for (let i = 0; i < dark.length; i++) dark[i] = there[i] !== value && light.data[i] === 0 ? 1 : 0;
  const least = (job.swap ? job.narrowestStrip : job.narrowestOpening) + ROOM_MM;
  const wide = opened({ ...light, data: dark }, (least / 2) * pixelsPerMm);
  const near = dilated(light, (least + ROOM_MM) * pixelsPerMm);
  for (let y = 0; y < box.height; y++) {
    for (let x = 0; x < box.width; x++) {
      const i = y * box.width + x;
      const isLight =
        light.data[i] === 1 || (near.data[i] === 1 && dark[i] === 1 && wide.data[i] === 0);
      if (isLight) tone.data[(box.y + y) * tone.width + box.x + x] = value;
    }
  }
}
