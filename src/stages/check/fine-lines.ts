import { distance } from '../../geometry/points.js';
import type { Point } from '../../geometry/shape.js';
import { paperAt } from '../../raster/tone-statistics.js';
import { fieldOf } from '../../raster/field.js';
import { histogramOf, otsu } from '../../raster/histogram.js';
import { narrowBranches, type NarrowBranch } from '../../raster/narrow-branches.js';
import { stepsInRing } from '../../raster/neighbours.js';
import { flattened } from '../../raster/paper.js';
import { cropped } from '../../raster/crop.js';
import { belowThreshold } from '../../raster/pointwise.js';
import type { Bitmap } from '../../raster/raster.js';
import { decimated } from '../../raster/decimation.js';
import type { Job } from '../../settings/job.js';
import type { Picture } from '../read/read.js';
import type { Finding } from './finding.js';

/** The grid that lines are looked at on, in px a mm: a line of a fifth of a millimetre is a pixel of it. */
const GRID_PER_MM = 5;
/** What is shorter is a speck or a line's frayed end, in mm. */
const LEAST_MM = 1;
/** Ends so near each other, in mm, are one that a viewer sees: a tuft, a fork of twigs. */
const ONE_END_MM = 1.5;
/** An end is there still where one of the print lies so near, in mm: lines that are made wider move a little. */
const NEAR_MM = 2;
/** Lines are thinner than so many of the narrowest openings in the print, where fields of them are drawn wider. */
const LINE_OF_PRINT = 2;
/**
 * Otsu's η from which on there is a drawing that is darker than its paper: an even spread of values has 0.75 (3/4 by its
 * definition), grain on rough paper 0.41, drawings and pages from 0.82 on.
 */
const CLEAR = 0.75;
/**
 * A drawing of fine lines has so many ends at least, and it does not come out where so little of its lines' length, and so few
 * of their ends, are left as lines. By eye: a dandelion keeps 0.19 and 0.17, spines, a dense umbel and fine crystals 0.28 to 0.34 and 0.04 to
 * 0.25; grass and a feather, which read, 0.36 to 0.39 and 0.31 to 0.32, and forty other drawings 0.3 and more with fewer ends.
 */
const FEWEST_ENDS = 40;
const LENGTH_KEPT = 0.35;
const ENDS_KEPT = 0.28;

/** What became of the fine lines of a drawing. */
export interface FineLines {
  /** The length of the lines that are thinner than can be cut, and of all that are lines in the print, in mm. */
  readonly drawnMm: number;
  readonly printMm: number;
  /** The places where such lines end, and how many of these the print has. */
  readonly ends: number;
  readonly endsKept: number;
}

/**
 * Compares the lines of a drawing that are thinner than can be cut with the lines of its print, by their length and their free ends.
 * A likeness by contours within a millimetre is blind to them: a blot between the stalks of a dandelion lies within a millimetre of
 * all of them, and of what sits on their ends.
 *
 * Lines are centrelines by thinning (T. Y. Zhang & C. Y. Suen, "A fast parallel algorithm for thinning digital patterns",
 * Communications of the ACM 27, 1984) of what is darker than its paper by Otsu's level.
 *
 * @param widened the openings as their widths are kept, before bridges part any of them
 * @returns undefined where nothing is plainly darker than its paper
 */
export function fineLines(
  { gray, pictureBox, pixelsPerMm }: Pick<Picture, 'gray' | 'pictureBox' | 'pixelsPerMm'>,
  widened: Bitmap,
  { narrowestOpening }: Pick<Job, 'narrowestOpening'>,
): FineLines | undefined {
  const factor = Math.max(1, Math.round(pixelsPerMm / GRID_PER_MM));
  const perMm = pixelsPerMm / factor;
  const field = fieldOf(gray, pictureBox, factor);
  const flat = flattened(field, paperAt(field, perMm));
  const { level, separability } = otsu(histogramOf(flat));
  if (separability < CLEAR) return undefined;
  const { width, height } = field;
  const drawn: Bitmap = { width, height, data: belowThreshold(flat.data, level + 1, 1) };
  const ofDrawing = linesOf(drawn, narrowestOpening * perMm, perMm);
  const print = decimated(cropped(widened, pictureBox), factor);
  const ofPrint = linesOf(print, LINE_OF_PRINT * narrowestOpening * perMm, perMm);
  return {
    drawnMm: ofDrawing.length / perMm,
    printMm: ofPrint.length / perMm,
    ends: ofDrawing.ends.length,
    endsKept: matched(ofDrawing.ends, ofPrint.ends, NEAR_MM * perMm),
  };
}

/** Tells of a drawing whose fine lines run together or go. */
export function fineLinesLost(
  lines: FineLines | undefined,
  { narrowestOpening, tool }: Pick<Job, 'narrowestOpening' | 'tool'>,
): Finding[] {
  if (!lines || lines.ends < FEWEST_ENDS) return [];
  const { drawnMm, printMm, ends, endsKept } = lines;
  if (printMm >= LENGTH_KEPT * drawnMm || endsKept >= ENDS_KEPT * ends) return [];
  return [
    {
      level: 'warning',
      code: 'fine-lines-lost',
      message: `The drawing is one of fine lines, and most of them run together or go: of ${ends} places where a line ends, as a stalk, a twig or a spine does, ${endsKept} ${endsKept === 1 ? 'is' : 'are'} left. A line that is cut is ${narrowestOpening} mm wide and wants as much film beside it. Crop to a part of the drawing, take a larger card${tool === 'craft-knife' ? '' : ' or a knife (`tool`), which cuts finer'}, or draw fewer lines.`,
    },
  ];
}

function linesOf(bitmap: Bitmap, thinnerThan: number, perMm: number) {
  const { width, height } = bitmap;
  const whole = { x: 0, y: 0, width, height };
  const lines = narrowBranches(bitmap, 1, thinnerThan / 2, whole, whole).filter(
    ({ pixels }) => pixels.length >= LEAST_MM * perMm,
  );
  const ends = lines.flatMap((line) => endsOf(line, width, thinnerThan / 2));
  return {
    length: lines.reduce((sum, { pixels }) => sum + pixels.length, 0),
    ends: apart(ends, ONE_END_MM * perMm),
  };
}

/** Where a line ends freely, and runs into nothing thicker. */
function endsOf({ pixels, halfWidths }: NarrowBranch, width: number, half: number): Point[] {
  const line = new Set(pixels);
  const steps = stepsInRing(width);
  const found: Point[] = [];
  pixels.forEach((i, k) => {
    const ring = steps.map((step) => line.has(i + step));
    const leaving = ring.filter((is, at) => is && !ring[(at + 7) % 8]).length;
    if (leaving <= 1 && halfWidths[k] < half - 1) {
      found.push({ x: i % width, y: Math.floor(i / width) });
    }
  });
  return found;
}

/** The places of which none is so near to one before it. */
function apart(places: readonly Point[], reach: number): Point[] {
  const found: Point[] = [];
  for (const place of places) {
    if (!found.some((other) => distance(place, other) < reach)) found.push(place);
  }
  return found;
}

/** How many places have another one within reach, each one of its own: its nearest that no place before it has. */
function matched(places: readonly Point[], others: readonly Point[], reach: number): number {
  const free = new Set(others);
  let count = 0;
  for (const place of places) {
    let nearest: Point | undefined;
    let least = reach;
    for (const other of free) {
      const away = distance(place, other);
      if (away < least) [nearest, least] = [other, away];
    }
    if (!nearest) continue;
    free.delete(nearest);
    count++;
  }
  return count;
}
