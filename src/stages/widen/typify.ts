import {
  fieldLine,
  lineFields,
  linesBeside,
  turnEnds,
  type Beside,
  type LineField,
} from '../../geometry/typification.js';
import type { Bitmap } from '../../raster/raster.js';
import { stampDisc } from '../../raster/stamp.js';
import type { Stroke } from '../../raster/strokes.js';
import type { StrokeLimits } from './amalgamate.js';
import { nearestPlaces } from './nearest-places.js';

/** A drawing whose fields of lines have room. */
export interface Typified {
  readonly bitmap: Bitmap;
  /** The strokes that stay. */
  readonly strokes: readonly Stroke[];
  /** How many were left out. */
  readonly dropped: number;
}

/** A line is so many times as long as wide at the least; what is thicker is a shape of its own. By eye. */
const ELONGATED = 6;
/** What has just enough room may seem to have so much less, on the grid. */
const GRID_PX = 1;
/** Places on either side whose needs a place shares. */
const NEXT_PLACES = 3;
/** From place to place along a stroke, about, px. */
const STEP_PX = 3;
/** From so many lines on that are too near each other they are a field; of two both are kept, or become one. */
const FIELD = 3;

/**
 * Thins out fields of strokes, as of a hatching, hair or grass, between which no film can stay: some are left out, and the
 * others are drawn wider, so that the field is as dark as it was and a field of lines still.
 */
export function typify(bitmap: Bitmap, given: readonly Stroke[], limits: StrokeLimits): Typified {
  const distance = limits.opening + limits.strip;
  const strokes = given.flatMap((stroke) => turnsOf(stroke, distance));
  const fields = fieldsIn(strokes, limits).filter(
    ({ lines, staying }) => lines.length >= FIELD && staying.size < lines.length,
  );
  if (fields.length === 0) return { bitmap, strokes: given, dropped: 0 };
  const gone = new Uint8Array(strokes.length);
  for (const { lines, staying } of fields)
    for (const line of lines) gone[line] = Number(!staying.has(line));
  const data = bitmap.data.slice();
  const near = nearestPlaces(strokes, bitmap).stroke;
  near.forEach((stroke, i) => {
    if (stroke >= 0 && gone[stroke] === 1) data[i] = 0;
  });
  const left = strokes.filter((_, k) => gone[k] === 0);
  // Where what is left out crossed others, these are whole again.
  for (const stroke of left) draw(data, bitmap, stroke, stroke.halfWidth);
  for (const field of fields) drawDarker(data, bitmap, strokes, field, limits);
  return { bitmap: { ...bitmap, data }, strokes: left, dropped: strokes.length - left.length };
}

/** A stroke that winds round beside itself, as a spiral does, by turns; else the stroke. */
function turnsOf(stroke: Stroke, distance: number): Stroke[] {
  const { x, y, halfWidth, isClosed } = stroke;
  const ends = isClosed ? [] : turnEnds(x, y, distance / 2);
  if (ends.length === 0) return [stroke];
  const cuts = [0, ...ends, x.length - 1];
  return cuts.slice(1).map((end, k) => ({
    x: x.slice(cuts[k], end + 1),
    y: y.slice(cuts[k], end + 1),
    halfWidth: halfWidth.slice(cuts[k], end + 1),
    isClosed: false,
  }));
}

function fieldsIn(
  strokes: readonly Stroke[],
  { opening, strip, spare }: StrokeLimits,
): LineField[] {
  const distance = opening + strip;
  const lines = strokes.map(({ x, y, isClosed }) =>
    isClosed ? fieldLine([...x, x[0]], [...y, y[0]], distance) : fieldLine(x, y, distance),
  );
  const half = strokes.map(({ halfWidth }) => meanOf(halfWidth));
  const doMeet = (one: number, other: number): boolean =>
    endsAt(strokes[one], strokes[other]) || endsAt(strokes[other], strokes[one]);
  const hasRoom = (line: number, { line: other, away }: Beside): boolean =>
    away >= strip + Math.max(opening, half[line] + half[other]);
  const isThin = (line: number): boolean => lines[line].length >= ELONGATED * 2 * half[line];
  const isTooNear = (line: number, one: Beside): boolean =>
    isThin(line) &&
    isThin(one.line) &&
    !hasRoom(line, { ...one, away: one.away + spare / 2 + GRID_PX });
  return lineFields(lines, linesBeside(lines, distance, doMeet), isTooNear, hasRoom);
}

const meanOf = (values: Float64Array): number =>
  values.reduce((sum, value) => sum + value, 0) / values.length;

/** Strokes end so far from where they meet: what is nearer belongs to the junction (src/raster/strokes.ts). */
const MEETS_PX = 2;

/** Whether a stroke ends on or at another. */
function endsAt({ x, y, halfWidth, isClosed }: Stroke, other: Stroke): boolean {
  if (isClosed) return false;
  return [0, x.length - 1].some((end) =>
    other.x.some((at, k) => {
      const reach = halfWidth[end] + other.halfWidth[k] + MEETS_PX;
      return Math.hypot(at - x[end], other.y[k] - y[end]) <= reach;
    }),
  );
}

function draw(
  data: Uint8Array,
  { width, height }: Bitmap,
  { x, y }: Stroke,
  halfWidth: ArrayLike<number>,
): void {
  for (let k = 0; k < x.length; k++) stampDisc(data, width, height, x[k], y[k], halfWidth[k], 1);
}

/**
 * Draws what stays of a field as wide as it takes for it to be as dark as it was, and for what is left out to lie near it;
 * no wider than there is room.
 */
function drawDarker(
  data: Uint8Array,
  bitmap: Bitmap,
  strokes: readonly Stroke[],
  { lines, staying }: LineField,
  { opening, strip, near }: StrokeLimits,
): void {
  const kept = [...staying].map((line) => strokes[line]);
  const gone = lines.filter((line) => !staying.has(line)).map((line) => strokes[line]);
  const needs = halfWidthsFor(kept, gone, opening + strip, near);
  kept.forEach((stroke, k) => {
    const others = kept.filter((one) => one !== stroke);
    const asDark = (lines.length / staying.size) * meanOf(stroke.halfWidth);
    const half = Float64Array.from(stroke.x, (x, place) => {
      const room = (distanceTo(others, x, stroke.y[place]) - strip) / 2;
      return Math.max(opening / 2, Math.min(Math.max(asDark, needs[k][place]), room));
    });
    draw(data, bitmap, stroke, evened(half, stroke.isClosed, opening + strip));
  });
}

/** By stroke that stays and place: half its width, for what goes beside it to lie near to it. */
function halfWidthsFor(
  kept: readonly Stroke[],
  gone: readonly Stroke[],
  furthest: number,
  near: number,
): readonly Float64Array[] {
  const needs = kept.map(({ x }) => new Float64Array(x.length));
  for (const { x, y } of gone) {
    for (let i = 0; i < x.length; i++) {
      let [stroke, place, least] = [-1, -1, furthest];
      kept.forEach((one, k) => {
        for (let at = 0; at < one.x.length; at++) {
          const off = Math.hypot(one.x[at] - x[i], one.y[at] - y[i]);
          if (off < least) [stroke, place, least] = [k, at, off];
        }
      });
      if (stroke >= 0) needs[stroke][place] = Math.max(needs[stroke][place], least - near);
    }
  }
  // What lies between places that something is nearest to takes the larger of the two.
  return needs.map((values, k) => largestNear(values, kept[k].isClosed, NEXT_PLACES));
}

function largestNear(values: Float64Array, isClosed: boolean, reach: number): Float64Array {
  const n = values.length;
  return values.map((_, k) => {
    let largest = 0;
    for (let i = k - reach; i <= k + reach; i++) {
      if (!isClosed && (i < 0 || i >= n)) continue;
      largest = Math.max(largest, values[((i % n) + n) % n]);
    }
    return largest;
  });
}

/** Widths that swell and narrow slowly, as a hand draws them: means over so many px to either side. */
function evened(values: Float64Array, isClosed: boolean, reach: number): Float64Array {
  const n = values.length;
  return values.map((_, k) => {
    let [sum, count] = [0, 0];
    for (let i = k - Math.round(reach / STEP_PX); i <= k + Math.round(reach / STEP_PX); i++) {
      if (!isClosed && (i < 0 || i >= n)) continue;
      sum += values[((i % n) + n) % n];
      count++;
    }
    return sum / count;
  });
}

function distanceTo(strokes: readonly Stroke[], x: number, y: number): number {
  let least = Infinity;
  for (const other of strokes)
    for (let k = 0; k < other.x.length; k++)
      least = Math.min(least, Math.hypot(other.x[k] - x, other.y[k] - y));
  return least;
}
