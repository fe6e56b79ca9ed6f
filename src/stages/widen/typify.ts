import { nearTree, type NearTree } from '../../geometry/near-tree.js';
import {
  fieldLine,
  lineFields,
  turnEnds,
  type NeighbourLine,
  type LineField,
} from '../../geometry/typification.js';
import type { Bitmap } from '../../raster/raster.js';
import { stampDisc } from '../../raster/stamp.js';
import type { Stroke } from '../../raster/strokes.js';
import type { StrokeLimits } from './amalgamate.js';
import { nearestPlaces } from './nearest-places.js';

/** A drawing whose fields of lines have room. */
export interface TypifiedStrokes {
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
/** A place of a line is drawn as wide as the widest of so many places to either side needs. */
const NEXT_PLACES = 3;
/** So many lines that are too near each other are a field; of two both are kept, or become one. */
const LEAST_LINES = 3;
/**
 * What is left out runs beside lines that stay for this share of its length; else the far part of a stem that runs beside a
 * leaf for a while would be lost. By eye.
 */
const MOSTLY = 0.6;

/**
 * Thins out fields of strokes, as of a hatching, hair or grass, between which no film can stay: some are left out, and the
 * others are drawn wider, so that the field is as dark as it was and a field of lines still.
 */
export function typify(
  bitmap: Bitmap,
  given: readonly Stroke[],
  limits: StrokeLimits,
): TypifiedStrokes {
  const distance = limits.opening + limits.strip;
  const strokes = given.flatMap((stroke) => turnsOf(stroke, distance));
  const fields = fieldsIn(strokes, limits)
    .filter(({ lines }) => lines.length >= LEAST_LINES)
    .map((field) => withLinesApart(field, strokes, distance))
    .filter(({ lines, staying }) => staying.size < lines.length);
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
  const hasRoom = (line: number, { line: other, away }: NeighbourLine): boolean =>
    away >= strip + Math.max(opening, half[line] + half[other]);
  const takesPart = (line: number): boolean =>
    lines[line].length >= Math.max(distance, ELONGATED * 2 * half[line]);
  const isTooNear = (line: number, one: NeighbourLine): boolean =>
    !hasRoom(line, { ...one, away: one.away + spare / 2 + GRID_PX });
  return lineFields(lines, { distance, takesPart, doMeet, isTooNear, hasRoom });
}

/** The field with those of its lines staying, too, that run beside no line that stays for most of their length. */
function withLinesApart(field: LineField, strokes: readonly Stroke[], distance: number): LineField {
  const kept = placesOf([...field.staying].map((line) => strokes[line]));
  const isApart = (line: number): boolean => {
    const { x, y } = strokes[line];
    let beside = 0;
    for (let k = 0; k < x.length; k++) {
      if (nearestPlace(kept, x[k], y[k], distance)[0] >= 0) beside++;
    }
    return beside < MOSTLY * x.length;
  };
  const apart = field.lines.filter((line) => !field.staying.has(line) && isApart(line));
  return { ...field, staying: new Set([...field.staying, ...apart]) };
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
  const places = placesOf(kept);
  const needs = halfWidthsFor(places, gone, opening + strip, near);
  kept.forEach((stroke, k) => {
    const { x, y, halfWidth, isClosed } = stroke;
    const reach = Math.round((opening + strip) / stepOf(stroke));
    const asDark = (lines.length / staying.size) * meanOf(halfWidth);
    const own = needs.subarray(places.starts[k], places.starts[k] + x.length);
    // What lies between two places that something is nearest to takes the larger of their widths.
    const wanted = alongWindow(own, isClosed, NEXT_PLACES, (values) => Math.max(...values));
    const half = wanted.map((need, place) => {
      const [, off] = nearestPlace(places, x[place], y[place], Infinity, k);
      return Math.max(opening / 2, Math.min(Math.max(asDark, need), (off - strip) / 2));
    });
    // As a hand draws it, a line swells and narrows slowly.
    draw(data, bitmap, stroke, alongWindow(half, isClosed, reach, meanOf));
  });
}

/** The places of some strokes, to find those near another. */
interface StrokePlaces {
  readonly tree: NearTree;
  /** By place, the number of its stroke. */
  readonly owner: Int32Array;
  /** By stroke, the number of its first place. */
  readonly starts: readonly number[];
}

function placesOf(strokes: readonly Stroke[]): StrokePlaces {
  const starts: number[] = [];
  let count = 0;
  for (const { x } of strokes) {
    starts.push(count);
    count += x.length;
  }
  const [xs, ys, owner] = [new Float64Array(count), new Float64Array(count), new Int32Array(count)];
  strokes.forEach(({ x, y }, k) => {
    xs.set(x, starts[k]);
    ys.set(y, starts[k]);
    owner.fill(k, starts[k], starts[k] + x.length);
  });
  const tree = nearTree([...owner.keys()], xs, ys);
  return { tree, owner, starts };
}

/** The place that is nearest, −1 where none is within a reach, and how far it is; one stroke is passed over. */
function nearestPlace(
  { tree, owner }: StrokePlaces,
  x: number,
  y: number,
  reach: number,
  passedOver = -1,
): readonly [place: number, off: number] {
  let [found, least] = [-1, reach];
  const look = (place: number, off: number): number => {
    if (off < least && owner[place] !== passedOver) [found, least] = [place, off];
    return least;
  };
  tree.near(x, y, look, reach);
  return [found, least];
}

/** For each sample of a line that stays the half width at which its removed neighbours lie near it; 0 without any. */
function halfWidthsFor(
  places: StrokePlaces,
  gone: readonly Stroke[],
  furthest: number,
  near: number,
): Float64Array {
  const needs = new Float64Array(places.owner.length);
  for (const { x, y } of gone) {
    for (let i = 0; i < x.length; i++) {
      const [place, off] = nearestPlace(places, x[i], y[i], furthest);
      if (place >= 0) needs[place] = Math.max(needs[place], off - near);
    }
  }
  return needs;
}

/** From place to place along a stroke, px. */
const stepOf = ({ x, y }: Stroke): number =>
  Math.max(1, x.length > 1 ? Math.hypot(x[1] - x[0], y[1] - y[0]) : 1);

/** What a window of so many places to either side comes to, place by place. */
function alongWindow(
  values: Float64Array,
  isClosed: boolean,
  reach: number,
  of: (window: Float64Array) => number,
): Float64Array {
  const n = values.length;
  return values.map((_, k) => {
    if (!isClosed) return of(values.subarray(Math.max(0, k - reach), k + reach + 1));
    const window = Array.from({ length: Math.min(n, 2 * reach + 1) }, (__, i) => values[(k + i - reach + n * reach) % n]); // prettier-ignore
    return of(Float64Array.from(window));
  });
}
