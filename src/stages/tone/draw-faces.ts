import { foundedIn, polygonMask, type Founded } from '../../faces/contrast.js';
import type { Face } from '../../faces/face.js';
import { skinOf, type FeatureName } from '../../faces/features.js';
import {
  gapOf,
  featureMark,
  shiftedMask,
  unionOf,
  type MarkLimits,
} from '../../faces/feature-marks.js';
import { moustacheOf } from '../../faces/moustache.js';
import { faceOutline } from '../../faces/face-outline.js';
import { isInProfile } from '../../faces/plausible.js';
import { windowOf, type FaceWindow } from '../../faces/window.js';
import type { Point } from '../../geometry/shape.js';
import { gaussianBlur } from '../../raster/blur.js';
import { histogramOf, otsu } from '../../raster/histogram.js';
import { closed, dilated, opened } from '../../raster/morphology.js';
import { cropped } from '../../raster/crop.js';
import type { Bitmap } from '../../raster/raster.js';
import type { TonePicture, ToneJob } from './view.js';

/** The marks that a face is drawn by, and what of it the picture has. */
export interface MarkedFace {
  readonly face: Face;
  readonly window: FaceWindow;
  /** Those of its features, on the window's pixels. */
  readonly marks: Bitmap;
  /** What the picture has of it. */
  readonly features: readonly Founded[];
  readonly limits: MarkLimits;
}

type FacesJob = Pick<ToneJob, 'narrowestOpening' | 'narrowestStrip' | 'smallestOpening'>;

/** What a pixel of a drawn face becomes. */
const AS_TONE = 0;
/** A mark, or a shadow. */
const OPENING = 1;
/** Skin, or the strip beside a mark. */
const FILM = 2;

const EYES: ReadonlySet<FeatureName> = new Set(['right eye', 'left eye']);

/** Film beside a mark is a little wider than the narrowest, in mm: room for the grid and for easing. */
const ROOM_MM = 0.2;
/** Eyes and mouth are moved by no more than this, in widths of the face. */
const MOST_MOVED = 0.1;
/** A brow is raised by no more than this, in widths of the face … */
const MOST_RAISED = 0.12;
/** … and drawn from this width on, in narrowest openings: in a smaller face it is so near that it looks like another eye. */
const BROWED = 13.5;
/** What the picture's edge leaves less of than this share of is not drawn. */
const WHOLE = 0.85;
/**
 * Nearer to the mouth than this, in narrowest strips, or larger than this share of it, the shadow under a nose is a
 * moustache. In a small face one that is less than half as large may be nearer; in a large one the tone has the nose.
 */
const MOUSTACHE = { strips: 1.4, share: 0.8, small: 0.5 };
/** The shadow under a nose is raised by no more than this, in widths of the face. */
const MOST_RAISED_NOSE = 0.03;
/** From this width on, in narrowest openings, a face's skin is as the tone has it: there is room for a likeness. */
const LARGE = 15;
/** From this width on nothing is drawn: what a tone loses of so large a face is not its eyes. */
const LARGEST = 40;
/** A shadow on a face is told from its light by Otsu's level when the two are this far apart, of 255 … */
const SHADOW = 45;
/** … and it takes no more than this share of the face: else there is no light to draw in. */
const MOST_SHADOW = 0.6;
/** Of hair and jaw beside a mark, so much of the width that can be cut must be there; what lacks is added on their far side. */
const THERE = 0.4;
/** Skin is read through a blur of this σ, in mm: a shadow has no holes and no crumbs. */
const CALM_MM = 0.6;

/**
 * Finds the marks to draw the faces of a picture by: each of eyes, mouth, brows and nose that the picture has darker than
 * what is round it becomes a mark of its own, as a hand draws a small face. A feature that is too small is made larger
 * about its own middle: caricature's old rule that a small face has larger features (common practice, no source). What
 * the picture does not have darker is not drawn, and a face with no room for any mark is left out, and one in profile.
 */
export function markFaces(
  picture: TonePicture,
  faces: readonly Face[],
  { narrowestOpening, narrowestStrip, smallestOpening }: FacesJob,
): readonly MarkedFace[] {
  const limits = { opening: narrowestOpening, strip: narrowestStrip, smallest: smallestOpening };
  return faces.flatMap((face) => markFace(picture, face, limits) ?? []);
}

function markFace(picture: TonePicture, face: Face, limits: MarkLimits): MarkedFace | undefined {
  if (face.widthMm > LARGEST * limits.opening || isInProfile(face.landmarks)) return undefined;
  const window = windowOf(picture, face);
  if (!window) return undefined;
  const features = foundedIn(window);
  const marks = marksOf(window, features, limits, face.widthMm * window.pixelsPerMm);
  // A mouth without the eyes that the picture has is a hole in a blank face.
  if (features.some(({ name }) => EYES.has(name) && !marks.has(name))) return undefined;
  if (marks.size === 0) return undefined;
  return { face, window, marks: unionOf([...marks.values()]), features, limits };
}

/**
 * Draws faces into a tone.
 *
 * @param all those of the picture: none is drawn over another
 */
export function drawFaces(
  tone: Bitmap,
  marked: readonly MarkedFace[],
  all: readonly Face[],
  swap: boolean,
): Bitmap {
  if (marked.length === 0) return tone;
  const laid = { ...tone, data: tone.data.slice() };
  for (const face of marked) {
    const others = all.filter((other) => other !== face.face);
    const theirs = skinIn(face.window, others);
    layFace(laid, face, { drawn: drawnFace(face, theirs), theirs }, swap);
  }
  return laid;
}

/** By pixel of the window: what is opening, what is film, and what stays as the tone has it. */
function drawnFace({ face, window, marks, limits }: MarkedFace, theirs: Uint8Array): Uint8Array {
  const drawn = new Uint8Array(marks.data.length);
  if (face.widthMm < LARGE * limits.opening) {
    outline(drawn, window, theirs, limits);
    shade(drawn, window);
  }
  const moat = dilated(marks, (limits.strip + ROOM_MM) * window.pixelsPerMm).data;
  for (let i = 0; i < drawn.length; i++) {
    if (moat[i] === 1) drawn[i] = marks.data[i] === 1 ? OPENING : FILM;
  }
  return drawn;
}

/** Lays a face into a tone, which is changed. */
function layFace(
  tone: Bitmap,
  { face, window: { box, pixelsPerMm }, marks, limits }: MarkedFace,
  { drawn, theirs }: { readonly drawn: Uint8Array; readonly theirs: Uint8Array },
  swap: boolean,
): void {
  const laid = cropped(tone, box).data;
  const rest = new Uint8Array(drawn.length);
  const dark = swap ? 0 : 1;
  for (let i = 0; i < drawn.length; i++) {
    const isDark = drawn[i] === AS_TONE ? laid[i] === dark : drawn[i] === OPENING;
    rest[i] = isDark && marks.data[i] === 0 ? 1 : 0;
  }
  // What is left of hair and shadow near a mark and can't be cut would be widened, and take the mark's place.
  const half = ((limits.opening + ROOM_MM) / 2) * pixelsPerMm;
  const near = dilated(marks, (limits.strip + limits.opening + 2 * ROOM_MM) * pixelsPerMm);
  const mayGrow = drawn.map((what, i) => (what === FILM || theirs[i] === 1 ? 0 : 1));
  const all = { ...marks, data: rest };
  // A large face has its hair by the tone.
  const isSmall = face.widthMm < LARGE * limits.opening;
  const wide = isSmall ? besideMarks(all, near, mayGrow, half) : opened(all, half);
  for (let i = 0; i < drawn.length; i++) {
    const isRest = wide.data[i] === 1 || (rest[i] === 1 && near.data[i] === 0);
    laid[i] = isRest || marks.data[i] === 1 ? dark : 1 - dark;
  }
  for (let y = 0; y < box.height; y++) {
    const row = laid.subarray(y * box.width, (y + 1) * box.width);
    tone.data.set(row, (box.y + y) * tone.width + box.x);
  }
}

/**
 * What of hair and shadow can be cut beside a face's marks: what is wide enough, and what the strip beside a mark leaves
 * of a line of hair or jaw, made wide enough on its far side. So a small face grows a little with its features.
 *
 * @param near what is so near to a mark that it may be made thin by it
 * @param half of the width that can be cut, in px
 */
function besideMarks(rest: Bitmap, near: Bitmap, mayGrow: Uint8Array, half: number): Bitmap {
  const wide = opened(rest, half).data;
  const line = opened(rest, THERE * half).data;
  for (let i = 0; i < line.length; i++) if (wide[i] === 1 || near.data[i] === 0) line[i] = 0;
  const grown = dilated({ ...rest, data: line }, 2 * (1 - THERE) * half).data;
  for (let i = 0; i < grown.length; i++) grown[i] = (grown[i] & mayGrow[i]) | rest.data[i];
  return opened({ ...rest, data: grown }, half);
}

/** The marks of a face that have room beside one another, eyes and mouth first. */
function marksOf(
  window: FaceWindow,
  features: readonly Founded[],
  limits: MarkLimits,
  widthPx: number,
): Map<FeatureName, Bitmap> {
  const { landmarks } = window;
  const made = new Map<FeatureName, Bitmap>();
  for (const feature of features) {
    const mark = featureMark(window, feature, limits);
    if (mark) made.set(feature.name, mark);
  }
  const mouth = made.get('mouth');
  const moustache = mouth && moustacheOf(window, features, limits.opening);
  const strip = (limits.strip + ROOM_MM) * window.pixelsPerMm;
  // A mouth under a moustache has no room of its own: a hand draws both as one.
  if (moustache) made.set('mouth', closed(unionOf([mouth, moustache]), strip / 2));
  const placed = separated(made, landmarks, strip, MOST_MOVED * widthPx);
  const up = direction(landmarks[8], landmarks[27]);
  // Brows and nose are drawn where there is room for them; one brow without the other would be a raised one.
  const raised = (names: readonly FeatureName[], most: number): void => {
    const marks = names.map((name) => {
      const mark = made.get(name);
      const beside = mark && besideAll(mark, [...placed.values()], up, strip, most * widthPx);
      return beside && areaOf(beside) >= WHOLE * areaOf(mark) ? beside : undefined;
    });
    if (marks.every((mark) => mark !== undefined)) {
      names.forEach((name, k) => placed.set(name, marks[k]));
    }
  };
  const openings = widthPx / (limits.opening * window.pixelsPerMm);
  if (openings >= BROWED) raised(['right brow', 'left brow'], MOST_RAISED);
  const nose = made.get('nose');
  if (nose && !isMoustache(nose, placed.get('mouth'), strip, openings < LARGE)) {
    raised(['nose'], MOST_RAISED_NOSE);
  }
  return placed;
}

function areaOf({ data }: Bitmap): number {
  return data.reduce((sum, value) => sum + value, 0);
}

/** Whether the shadow under a nose would be taken for a moustache. */
function isMoustache(
  nose: Bitmap,
  mouth: Bitmap | undefined,
  strip: number,
  isSmall: boolean,
): boolean {
  if (!mouth) return false;
  const share = areaOf(nose) / areaOf(mouth);
  if (isSmall && share <= MOUSTACHE.small) return false;
  const near = MOUSTACHE.strips * strip;
  return share > MOUSTACHE.share || gapOf(nose, mouth, near) < near;
}

/** A mark with a strip of film between it and others, raised for that by no more than `most`; undefined when it takes more. */
function besideAll(
  mark: Bitmap,
  others: readonly Bitmap[],
  up: Point,
  strip: number,
  most: number,
): Bitmap | undefined {
  const lackOf = (one: Bitmap): number =>
    Math.ceil(strip - Math.min(Infinity, ...others.map((other) => gapOf(one, other, strip))));
  let placed = mark;
  // A mark that lies aslant is not as far away as it was raised: each time it is raised by what is still lacking.
  for (let by = lackOf(mark); by > 0;) {
    if (by > most) return undefined;
    placed = shiftedMask(mark, Math.round(up.x * by), Math.round(up.y * by));
    const lack = lackOf(placed);
    if (lack <= 0) break;
    by += lack;
  }
  return placed;
}

/** Eyes and mouth with a strip of film between each two, moved a little where it takes that. */
function separated(
  made: ReadonlyMap<FeatureName, Bitmap>,
  landmarks: readonly Point[],
  strip: number,
  most: number,
): Map<FeatureName, Bitmap> {
  const placed = new Map<FeatureName, Bitmap>();
  let [right, left] = [made.get('right eye'), made.get('left eye')];
  const across = direction(landmarks[36], landmarks[45]);
  if (right && left) {
    const lack = strip - gapOf(right, left, strip);
    if (lack > 2 * most) return placed;
    if (lack > 0) {
      const by = Math.ceil(lack / 2);
      right = shiftedMask(right, Math.round(-across.x * by), Math.round(-across.y * by));
      left = shiftedMask(left, Math.round(across.x * by), Math.round(across.y * by));
    }
  }
  if (right) placed.set('right eye', right);
  if (left) placed.set('left eye', left);
  const mouth = made.get('mouth');
  if (!mouth) return placed;
  const gap = Math.min(...[...placed.values()].map((eye) => gapOf(mouth, eye, strip)), Infinity);
  const lack = Math.ceil(strip - gap);
  if (lack > most) return placed;
  // Down is across turned by a right angle.
  placed.set(
    'mouth',
    lack > 0
      ? shiftedMask(mouth, Math.round(-across.y * lack), Math.round(across.x * lack))
      : mouth,
  );
  return placed;
}

function direction(from: Point, to: Point): Point {
  const length = Math.hypot(to.x - from.x, to.y - from.y) || 1;
  return { x: (to.x - from.x) / length, y: (to.y - from.y) / length };
}

/** The line of jaw and hair, where no other face lies. */
function outline(
  drawn: Uint8Array,
  window: FaceWindow,
  theirs: Uint8Array,
  { opening }: MarkLimits,
): void {
  const line = faceOutline(window, opening).data;
  for (let i = line.indexOf(1); i >= 0; i = line.indexOf(1, i + 1))
    if (theirs[i] === 0) drawn[i] = OPENING;
}

/** The skin of other faces in a window: 1 where it is. */
function skinIn(window: FaceWindow, others: readonly Face[]): Uint8Array {
  const skin = new Uint8Array(window.width * window.height);
  for (const { landmarks } of others) {
    const there = window.placed(landmarks);
    if (!there.some(({ x, y }) => x >= 0 && y >= 0 && x < window.width && y < window.height))
      continue;
    const { data } = polygonMask(window, skinOf(there));
    for (let i = 0; i < skin.length; i++) skin[i] |= data[i];
  }
  return skin;
}

/** The skin of a face: film, but for a shadow that is told from the light by far. */
function shade(drawn: Uint8Array, window: FaceWindow): void {
  const { width, height, lightness, landmarks, pixelsPerMm } = window;
  const skin = polygonMask(window, skinOf(landmarks)).data;
  const field = { width, height, data: Float32Array.from(lightness) };
  const calm = gaussianBlur(field, CALM_MM * pixelsPerMm).data;
  const values = calm.filter((_, i) => skin[i] === 1);
  if (values.length === 0) return;
  const { level } = otsu(histogramOf({ width: values.length, height: 1, data: values }));
  const dark = values.filter((value) => value <= level);
  const light = values.filter((value) => value > level);
  const isShaded =
    dark.length > 0 &&
    light.length > 0 &&
    mean(light) - mean(dark) >= SHADOW &&
    dark.length <= MOST_SHADOW * values.length;
  for (let i = 0; i < skin.length; i++) {
    if (skin[i] === 1) drawn[i] = isShaded && calm[i] <= level ? OPENING : FILM;
  }
}

function mean(values: Float32Array): number {
  return values.reduce((sum, value) => sum + value, 0) / values.length;
}
