import type { Job } from '../../settings/job.js';
import { cropped } from '../../raster/crop.js';
import type { Bitmap, Box } from '../../raster/raster.js';
import type { ErodedFilm } from './eroded-film.js';
import { openingCoresOf } from './opening-cores.js';
import type { Tie } from './tie.js';

/**
 * How much round a strip is looked at for what it leaves, in mm: more than the width of any opening that a strip can make too narrow.
 */
const ROUND_MM = 3.5;

/** What a strip leaves of the opening beside it. */
export type SideEffect =
  /** What can be cut. */
  | 'good'
  /** The same if its ends do not flare. */
  | 'good-when-plain'
  /** A neck too narrow to cut: more rooms that hang together by less than an opening's width than before. */
  | 'neck';

/** @param flareMm how far the strip widens at the edges of the film */
export function sideEffectOf(
  film: ErodedFilm,
  tie: Tie,
  limits: Pick<Job, 'narrowestOpening'>,
  flareMm: number,
): SideEffect {
  if (tie.followsNeck || isClearBeside(film, tie, limits.narrowestOpening + flareMm)) return 'good';
  const sheet = { ...film.bitmap, left: 0, top: 0 };
  const before = windowOf(film.bitmap, boxRound(tie, ROUND_MM, sheet, film.pixelsPerMm));
  const necksWith = (flare: number): number => {
    const after = { ...before, data: before.data.slice() };
    drawStrip(after, film.pixelsPerMm, tie, flare);
    return necks(after, film.pixelsPerMm, limits);
  };
  const flared = necksWith(flareMm);
  if (flared === 0) return 'good';
  const least = necks(before, film.pixelsPerMm, limits);
  if (flared <= least) return 'good';
  return flareMm > 0 && necksWith(0) <= least ? 'good-when-plain' : 'neck';
}

/** A film on which strips lie, without their flares; its cores are those that it had. */
export function withStrips(film: ErodedFilm, ties: readonly Tie[]): ErodedFilm {
  const data = film.bitmap.data.slice();
  const whole = { ...film.bitmap, data, left: 0, top: 0 };
  for (const tie of ties) drawStrip(whole, film.pixelsPerMm, tie, 0);
  return { ...film, bitmap: whole };
}

/**
 * Where along a strip it is looked beside it, as shares of its length: near both edges of the film and at its middle.
 */
const LOOKS = [0.2, 0.5, 0.8];
/**
 * A strip is across a wide opening when it is so many times as long as the least width: else it is looked at closely.
 */
const WIDE = 1.6;
/**
 * Beside a strip it is looked from a pixel of the raster off its edge, in steps of two, as far as an opening is wide and
 * two or three pixels more, in mm: less than a strip of film is wide, so that none is stepped over.
 */
const FROM_EDGE_MM = 0.1;
const STEP_MM = 0.2;
const A_LITTLE_MM = 0.3;

/** Whether there is an opening's width, and a little, beside the strip at several places along it. */
function isClearBeside(
  { bitmap: { width, height, data }, pixelsPerMm }: ErodedFilm,
  { gapStart, gapEnd, widthMm }: Tie,
  openingMm: number,
): boolean {
  const [dx, dy] = [gapEnd.x - gapStart.x, gapEnd.y - gapStart.y];
  const length = Math.hypot(dx, dy) || 1;
  const isOpen = (along: number, across: number): boolean => {
    const x = Math.floor((gapStart.x + along * dx - (across * dy) / length) * pixelsPerMm);
    const y = Math.floor((gapStart.y + along * dy + (across * dx) / length) * pixelsPerMm);
    return x >= 0 && y >= 0 && x < width && y < height && data[y * width + x] === 1;
  };
  // Along a narrow opening there is always room; what matters is where it leads.
  if (length < WIDE * openingMm) return false;
  const most = widthMm / 2 + openingMm + A_LITTLE_MM;
  return [-1, 1].every((side) =>
    LOOKS.every((along) => {
      for (let off = widthMm / 2 + FROM_EDGE_MM; off < most; off += STEP_MM) {
        if (!isOpen(along, side * off)) return false;
      }
      return true;
    }),
  );
}

/** The pixels of a part of the sheet that a strip lies on, and so many mm round it. */
function boxRound(
  { start, end, widthMm }: Tie,
  roundMm: number,
  part: BitmapWindow,
  pixelsPerMm: number,
): Box {
  const reach = roundMm + widthMm / 2;
  const x = Math.max(part.left, Math.floor((Math.min(start.x, end.x) - reach) * pixelsPerMm));
  const y = Math.max(part.top, Math.floor((Math.min(start.y, end.y) - reach) * pixelsPerMm));
  const [pastX, pastY] = [part.left + part.width, part.top + part.height];
  const right = Math.min(pastX, Math.ceil((Math.max(start.x, end.x) + reach) * pixelsPerMm));
  const bottom = Math.min(pastY, Math.ceil((Math.max(start.y, end.y) + reach) * pixelsPerMm));
  return { x, y, width: right - x, height: bottom - y };
}

/** A part of a bitmap, and where it lies on it. */
interface BitmapWindow extends Bitmap {
  readonly left: number;
  readonly top: number;
}

const windowOf = (bitmap: Bitmap, box: Box): BitmapWindow => ({
  ...cropped(bitmap, box),
  left: box.x,
  top: box.y,
});

/** Makes film of what a strip covers. Writes to the bitmap. */
function drawStrip(part: BitmapWindow, pixelsPerMm: number, tie: Tie, flareMm: number): void {
  const { start, end, widthMm, gapStart, gapEnd } = tie;
  const length = Math.hypot(end.x - start.x, end.y - start.y) || 1;
  const [ux, uy] = [(end.x - start.x) / length, (end.y - start.y) / length];
  const first = (gapStart.x - start.x) * ux + (gapStart.y - start.y) * uy;
  const last = (gapEnd.x - start.x) * ux + (gapEnd.y - start.y) * uy;
  const box = boxRound(tie, flareMm, part, pixelsPerMm);
  const mostHalf = widthMm / 2 + flareMm;
  for (let row = box.y; row < box.y + box.height; row++) {
    const y = (row + 0.5) / pixelsPerMm - start.y;
    // Where in the row the strip's two bands meet: within its length, and within its width at the flares.
    const [alongFrom, alongTo] = rangeOf(ux, y * uy, 0, length);
    const [acrossFrom, acrossTo] = rangeOf(-uy, y * ux, -mostHalf, mostHalf);
    const column = (x: number): number => (start.x + x) * pixelsPerMm - 0.5;
    const from = Math.max(box.x, Math.floor(column(Math.max(alongFrom, acrossFrom))));
    const to = Math.min(box.x + box.width - 1, Math.ceil(column(Math.min(alongTo, acrossTo))));
    for (let i = from; i <= to; i++) {
      const x = (i + 0.5) / pixelsPerMm - start.x;
      const across = Math.abs(y * ux - x * uy);
      const along = x * ux + y * uy;
      const fromEdge = Math.min(Math.abs(along - first), Math.abs(last - along));
      const half = widthMm / 2 + Math.max(0, flareMm - fromEdge);
      if (along < 0 || along > length || across > half) continue;
      part.data[(row - part.top) * part.width + i - part.left] = 0;
    }
  }
}

/** From where to where a × x + b lies between two numbers. */
function rangeOf(a: number, b: number, least: number, most: number): readonly [number, number] {
  if (a === 0) return least <= b && b <= most ? [-Infinity, Infinity] : [Infinity, -Infinity];
  const [p, q] = [(least - b) / a, (most - b) / a];
  return p < q ? [p, q] : [q, p];
}

/** How many rooms more than one the openings have, in all. */
function necks(part: Bitmap, pixelsPerMm: number, limits: Pick<Job, 'narrowestOpening'>): number {
  const { rooms } = openingCoresOf(part, pixelsPerMm, limits);
  return rooms.reduce((sum, each) => sum + Math.max(0, each.length - 1), 0);
}
