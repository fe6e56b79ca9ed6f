import { narrowBranches, type NarrowBranch } from '../../raster/narrow-branches.js';
import type { Bitmap, Box } from '../../raster/raster.js';
import { stampDisc } from '../../raster/stamp.js';
import { strokesIn, type Stroke } from '../../raster/strokes.js';
import type { Job } from '../../settings/job.js';
import { amalgamate, type StrokeLimits } from './amalgamate.js';
import { keepWidths } from './keep-widths.js';
import { withLightParts, type Pictured } from './light-parts.js';
import { lostRuns, type StrokeSection } from './lost-strokes.js';
import { applyDrops, withKept, type LeastRegion, type UnusedRegionEdit } from './regions.js';
import { typify } from './typify.js';
import { EASING_ROOM_MM, rulesFor, type Rule, type Rules, type WidthSettings } from './rules.js';

/** A tone picture that can be cut: nothing in it is too thin or too small. */
export interface Widened {
  readonly bitmap: Bitmap;
  /** Dark specks that were too small to cut and became film. */
  readonly specksDropped: number;
  /** Specks of film that were too small to be worth a bridge and became opening. */
  readonly islandsDropped: number;
  /** Light parts that were made as large as an island has to be, and those that were joined to film beside them. */
  readonly lightPartsGrown: number;
  readonly lightPartsJoined: number;
  /** Pairs of lines that had no room beside each other and became one. */
  readonly linesMerged: number;
  /** Lines of a field, as of a hatching, that are left out so that the others have room. */
  readonly linesThinned: number;
  readonly linesLost: readonly LostLine[];
  readonly unusedEdits: readonly UnusedRegionEdit[];
}

/** A part of a dark line that nothing is left of, and that no other opening lies near. */
interface LostLine {
  /** In mm. */
  readonly lengthMm: number;
  /** Its middle, in mm. */
  readonly at: readonly [number, number];
}

type WidenSettings = WidthSettings & Pick<Job, 'regionEdits'>;

/** From place to place along a stroke, in mm: a third of what a tip follows. */
const STEP_MM = 0.3;
/** A place of a line is lost when no opening is so near, as a share of the narrowest one: about where its edge would be. */
const NEAR_SHARE = 0.8;
/** A line that is left out of a field is seen in the next one when that is so near, in mm: by eye. */
const NEAR_MM = 1;
/** Shorter losses, in mm, are gaps that the eye closes. */
const LEAST_LOST_MM = 4;
/**
 * Attempts at making room: what one merges can leave its neighbour without. In the drawings of `npm run strokes` none
 * needed more than two.
 */
const MOST_ATTEMPTS = 3;

/**
 * Makes what is dark cuttable: keeps the widths (`keepWidths`), and makes room for lines that would vanish by it.
 *
 * Fields of lines without room are thinned out first (`typify`). Where two lines are too near each other for both and the
 * strip of film between them, film wins and both may go. So keeping the widths is a trial: if it loses lines, room is made
 * for those in the drawing as it was given (`amalgamate`), and the widths of that drawing are kept. Regions that a person
 * keeps are made large enough before; those that a person drops go last.
 *
 * @param bitmap the tone picture of the whole sheet; the margin is film
 * @param pixelsPerMm px a millimetre
 * @param picture what the bitmap was made of, where it lies on it as it is: light parts that stand out in it are kept
 *   (`withLightParts`)
 */
export function widen(
  bitmap: Bitmap,
  pixelsPerMm: number,
  job: WidenSettings,
  picture?: Pictured,
): Widened {
  const rules = rulesFor(bitmap, pixelsPerMm, job);
  const { film, opening, inside } = rules;
  const least = [leastOf(film), leastOf(opening)] as const;
  const limits = strokeLimits(job, pixelsPerMm);
  const given = withKept(bitmap, pixelsPerMm, job.regionEdits, least, inside);
  const thinned = typify(given, strokesOf(given, rules, STEP_MM * pixelsPerMm), limits);
  const { strokes } = thinned;
  const full = withFullLines(
    thinned.dropped === 0 ? given : filmOutside(thinned.bitmap, inside),
    rules,
  );
  const first = keepWidths(full, rules);
  const lights = picture
    ? withLightParts(full, first.bitmap, picture, rules)
    : { bitmap: full, grown: 0, joined: 0 };
  const drawn = lights.bitmap;
  const lostIn = (print: Bitmap): StrokeSection[] =>
    lostRuns(
      strokes,
      withoutThinLines(print, rules),
      NEAR_SHARE * limits.opening,
      LEAST_LOST_MM / STEP_MM,
    );
  let roomy = { bitmap: drawn, merged: 0 };
  let kept = drawn === full ? first : keepWidths(drawn, rules);
  let lost = lostIn(kept.bitmap);
  for (let attempt = 0; lost.length > 0 && attempt < MOST_ATTEMPTS; attempt++) {
    const made = amalgamate(roomy.bitmap, strokes, lost, limits);
    roomy = { bitmap: filmOutside(made.bitmap, inside), merged: roomy.merged + made.merged };
    kept = keepWidths(roomy.bitmap, rules);
    lost = lostIn(kept.bitmap);
  }
  const edited = applyDrops(kept.bitmap, bitmap, pixelsPerMm, job.regionEdits);
  return {
    ...kept,
    bitmap: edited.bitmap,
    lightPartsGrown: lights.grown,
    lightPartsJoined: lights.joined,
    linesMerged: roomy.merged,
    linesThinned: thinned.dropped,
    linesLost: lost.map((run) => lineOf(run, strokes, pixelsPerMm)),
    unusedEdits: edited.unused,
  };
}

/** Keeps the widths alone, without room for lines that vanish by it: for comparing tones and cards, at any scale. */
export function keepWidthsAt(bitmap: Bitmap, pixelsPerMm: number, job: WidthSettings): Bitmap {
  return keepWidths(bitmap, rulesFor(bitmap, pixelsPerMm, job)).bitmap;
}

function leastOf({ smallest, madeHalfWidth }: Rule): LeastRegion {
  return { area: smallest, radius: madeHalfWidth };
}

/** The lines of a drawing: what can get too thin when film on both sides of it grows to its width. */
function strokesOf(drawn: Bitmap, { opening, film, inside }: Rules, step: number): Stroke[] {
  const { width, height } = drawn;
  const whole = { x: 0, y: 0, width, height };
  const halfWidth = opening.halfWidth + film.madeHalfWidth;
  return strokesIn(narrowBranches(drawn, 1, halfWidth, inside, whole), width, step);
}

/** The lines that are a pixel too thin for their whole length: on the grid they seem to be as wide as they have to be. */
function thinLines(drawn: Bitmap, { opening, inside }: Rules): NarrowBranch[] {
  const whole = { x: 0, y: 0, width: drawn.width, height: drawn.height };
  const least = 2 * opening.halfWidth;
  return narrowBranches(drawn, 1, opening.lineHalfWidth, inside, whole).filter(
    ({ region, pixels, halfWidths }) =>
      region &&
      pixels.length >= opening.shortest &&
      region.length < least * pixels.length &&
      halfWidths.some((half) => half >= opening.halfWidth),
  );
}

/** Lines that are a pixel too thin, made wide enough. */
function withFullLines(drawn: Bitmap, rules: Rules): Bitmap {
  const thin = thinLines(drawn, rules);
  if (thin.length === 0) return drawn;
  const data = drawn.data.slice();
  const { width, height } = drawn;
  for (const { pixels } of thin) {
    for (const i of pixels) {
      stampDisc(
        data,
        width,
        height,
        i % width,
        Math.floor(i / width),
        rules.opening.madeHalfWidth,
        1,
      );
    }
  }
  return filmOutside({ ...drawn, data }, rules.inside);
}

/** Film all round, as before lines were drawn anew near the margin. */
function filmOutside({ width, height, data }: Bitmap, { x, y, ...box }: Box): Bitmap {
  const inside = new Uint8Array(data.length);
  for (let row = y; row < y + box.height; row++) {
    const start = row * width + x;
    inside.set(data.subarray(start, start + box.width), start);
  }
  return { width, height, data: inside };
}

/** Without lines that are a pixel too thin: traced, they can't be cut. */
function withoutThinLines(print: Bitmap, rules: Rules): Bitmap {
  const thin = thinLines(print, rules);
  if (thin.length === 0) return print;
  const data = print.data.slice();
  for (const { region = [] } of thin) for (const i of region) data[i] = 0;
  return { ...print, data };
}

/** Half of the room for easing has to do where lines lie side by side. */
function strokeLimits(job: WidenSettings, pixelsPerMm: number): StrokeLimits {
  return {
    opening: (job.narrowestOpening + EASING_ROOM_MM / 2) * pixelsPerMm,
    strip: (job.narrowestStrip + EASING_ROOM_MM / 2) * pixelsPerMm,
    spare: 2 * EASING_ROOM_MM * pixelsPerMm,
    near: NEAR_MM * pixelsPerMm,
  };
}

function lineOf(
  { stroke, first, count }: StrokeSection,
  strokes: readonly Stroke[],
  pixelsPerMm: number,
): LostLine {
  const { x, y } = strokes[stroke];
  const middle = Math.floor(first + count / 2) % x.length;
  const at = [(x[middle] + 0.5) / pixelsPerMm, (y[middle] + 0.5) / pixelsPerMm] as const;
  return { lengthMm: count * STEP_MM, at };
}
