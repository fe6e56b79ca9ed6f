import { gaussianBlur } from '../../raster/blur.js';
import { fieldOf, type Field } from '../../raster/field.js';
import { findRegions } from '../../raster/labels.js';
import { dilated, opened } from '../../raster/morphology.js';
import type { Bitmap } from '../../raster/raster.js';
import { judged, type ToneChoice, type ToneSettings, type WidenAtScale } from './candidates.js';
import type { ToneGround } from './ground.js';
import { overviewBitmap, overviewPicture, type TonePicture } from './view.js';

/** What it costs when all that is cut of a drawing is lines run together to masses: by eye, on drawings of waves and hair. */
const COST_OF_MASS = 0.5;
/** What it costs when all of a drawing's dark parts are gone, all of its light ones: a bird counts as much as a house. */
const COST_OF_GONE = 0.2;
const COST_OF_FILLED = 0.1;
/**
 * Smaller parts are crumbs, in mm²; of one that is gone less than this share is shown, by a line that may lie so far off:
 * one that is left out of a hatching is seen in the next.
 */
const LEAST_PART_MM2 = 1;
const GONE = 0.3;
const BESIDE_MM = 1.2;
/** A disk of this radius fits into no line, not even into one drawn for several, only into a mass; in mm. */
const MASS_MM = 2.3;
/** How far round a place a drawing counts as lines or as dark (σ), in mm. */
const LINES_MM = 1;

/**
 * Judges a drawing's tone, carried through at the sheet's own scale: what has run together to a mass where the drawing
 * has lines costs besides, though an outline lies near every line of it.
 *
 * @param drawn the drawing, parted by the tone that suits its kind
 */
export function judgeDrawing(
  settings: ToneSettings,
  tone: Bitmap,
  drawn: Bitmap,
  picture: TonePicture,
  { view: { factor }, contours }: ToneGround,
  finish: WidenAtScale,
): ToneChoice {
  const small = overviewPicture(picture, factor);
  const whole = finish(tone, picture.pixelsPerMm);
  const finished = overviewBitmap(whole, picture, small, factor);
  // What lacks is told by parts: lines that are left out of a hatching lack in the contours, and nobody misses them.
  const { choice, print } = judged(settings, finished, small, contours, 0, 0);
  const dark = fieldOf(drawn, picture.pictureBox, factor);
  const around = gaussianBlur(dark, LINES_MM * small.pixelsPerMm);
  const masses = opened(print, MASS_MM * small.pixelsPerMm);
  const share = runTogether(masses, dark, around);
  const gone = partsGone(drawn, whole, 1, picture.pixelsPerMm);
  const filled = partsGone(drawn, whole, 0, picture.pixelsPerMm);
  return {
    ...choice,
    score: choice.score - COST_OF_MASS * share - COST_OF_GONE * gone - COST_OF_FILLED * filled,
  };
}

/** The share of a drawing's dark parts, or of its light ones, that a print has nothing of. */
function partsGone(drawn: Bitmap, print: Bitmap, value: 0 | 1, pixelsPerMm: number): number {
  const regions = findRegions(drawn, value, value === 1 ? 8 : 4);
  const { starts, ends, numbers, areas } = regions;
  // A line of a print may lie beside the drawing's.
  const shown = value === 1 ? dilated(print, BESIDE_MM * pixelsPerMm) : print;
  const kept = new Int32Array(areas.length);
  for (let run = 0; run < starts.length; run++) {
    for (let i = starts[run]; i < ends[run]; i++) if (shown.data[i] === value) kept[numbers[run]]++;
  }
  const least = LEAST_PART_MM2 * pixelsPerMm ** 2;
  let [parts, gone] = [0, 0];
  for (let number = 1; number < areas.length; number++) {
    if (areas[number] < least) continue;
    parts++;
    if (kept[number] < GONE * areas[number]) gone++;
  }
  return parts > 0 ? gone / parts : 0;
}

/** The share of a drawing's dark that lies in masses of the print, where less than half of what is round it is dark. */
function runTogether(masses: Bitmap, dark: Field, around: Field): number {
  let [massed, all] = [0, 0];
  for (let i = 0; i < masses.data.length; i++) {
    all += dark.data[i];
    if (masses.data[i] === 1 && around.data[i] < 0.5) massed += dark.data[i];
  }
  return all > 0 ? massed / all : 0;
}

/** Lines of film through masses tell of strands from so many mm² on. */
const LEAST_LINES_MM2 = 2;

/** Whether film that was brought back into a drawing parts masses of it, as the lines between strands do. */
export function partsMasses(drawn: Bitmap, parted: Bitmap, pixelsPerMm: number): boolean {
  const masses = opened(drawn, MASS_MM * pixelsPerMm);
  let lines = 0;
  for (let i = 0; i < masses.data.length; i++) lines += masses.data[i] & (1 - parted.data[i]);
  return lines >= LEAST_LINES_MM2 * pixelsPerMm ** 2;
}
