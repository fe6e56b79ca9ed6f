import type { Bitmap } from '../../raster/raster.js';
import { stampDisc } from '../../raster/stamp.js';
import { normalAt, type StrokeSide, type Stroke } from '../../raster/strokes.js';
import type { StrokeSection } from './lost-strokes.js';
import { nearestPlaces, type NearestPlaces } from './nearest-places.js';

/** The room that strokes side by side need, in px. */
export interface StrokeLimits {
  /** What is thinner than this is made so wide. */
  readonly opening: number;
  /** The strip of film between two strokes. */
  readonly strip: number;
  /** A strip that is given up runs on to both sides for as long as there is no more room to spare than this. */
  readonly spare: number;
  /** A line is left out of a field only where an opening lies so near to it. */
  readonly near: number;
}

/** A drawing whose lost strokes have room, and how often two became one for it. */
export interface Amalgamated {
  readonly bitmap: Bitmap;
  readonly merged: number;
}

/** The drawing in the making. */
interface GrowingDrawing {
  readonly from: Bitmap;
  readonly data: Uint8Array;
  readonly strokes: readonly Stroke[];
  readonly limits: StrokeLimits;
  readonly near: NearestPlaces;
  /** By stroke and place: 1 once it is one with another. */
  readonly merged: readonly Uint8Array[];
}

/**
 * Makes room for strokes that are lost when the widths are kept, before any is widened.
 *
 * A stroke that has no room beside another becomes one with it: the strip of film between the two is given up, for as
 * long as they are too near each other, so that the whole run of the pair looks alike. Each place of a stroke is merged
 * once, so that of a field of many every second strip stays. Where the strip fits, if barely, both strokes are drawn
 * just as wide as they have to be.
 *
 * This is what map makers do with roads that are drawn wider than they are: amalgamation, typification and exaggeration
 * (McMaster & Shea, Generalization in digital cartography, Association of American Geographers, 1992).
 *
 * @param lost runs of the strokes, in reading order
 */
export function amalgamate(
  bitmap: Bitmap,
  strokes: readonly Stroke[],
  lost: readonly StrokeSection[],
  limits: StrokeLimits,
): Amalgamated {
  const drawing: GrowingDrawing = {
    from: bitmap,
    data: bitmap.data.slice(),
    strokes,
    limits,
    near: nearestPlaces(strokes, bitmap),
    merged: strokes.map(({ x }) => new Uint8Array(x.length)),
  };
  let merged = 0;
  for (const run of lost) {
    if (isDone(run, drawing)) continue;
    const strip = narrowerStrip(run, drawing);
    if (strip) {
      giveUp(strip, drawing);
      merged++;
    } else {
      exaggerate(run, drawing);
    }
  }
  return { bitmap: { ...bitmap, data: drawing.data }, merged };
}

/** Whether the greater part of a run is one with another stroke already. */
function isDone({ stroke, first, count }: StrokeSection, { merged }: GrowingDrawing): boolean {
  const own = merged[stroke];
  let done = 0;
  for (let k = first; k < first + count; k++) done += own[k % own.length];
  return done > count / 2;
}

/** The strip of film along one side of a stroke, by place. */
interface GapStrip {
  readonly stroke: number;
  readonly side: StrokeSide;
  readonly first: number;
  /** What lies beyond it, place after place. */
  readonly beyond: readonly (Beyond | undefined)[];
}

/** What lies beyond the strip of film beside a place of a stroke. */
interface Beyond {
  /** From the stroke's middle to the opening there, px. */
  readonly away: number;
  /** How much room is missing, px; below 0 there is some to spare. */
  readonly lack: number;
  /** The stroke over there, and which of its places; undefined where it is none. */
  readonly facing?: { readonly stroke: number; readonly place: number };
}

/** What giving up a strip would gain. */
interface Weighed {
  readonly strip: GapStrip;
  /** Places that face a stroke which is not one with another yet. */
  readonly free: number;
  /** Places that lack room, or nearly. */
  readonly lacking: number;
  /** How much they lack on average, px. */
  readonly lack: number;
}

/** Of two sides with nearly as many free places the narrower strip goes: so large a share counts as nearly. */
const AS_FREE = 0.8;
/** Strips are told apart by so many px, a tenth of a millimetre: less is the grid's. */
const AS_NARROW_PX = 1;

/** The strip beside a run that is given up for it; undefined where there is room on both sides. */
function narrowerStrip(run: StrokeSection, drawing: GrowingDrawing): GapStrip | undefined {
  const sides = ([1, -1] as const)
    .map((side) => weighed(run, side, drawing))
    .filter(({ lacking }) => lacking > 0)
    .sort((a, b) => b.free - a.free);
  const [first, second] = sides;
  const isOther =
    second && second.free >= AS_FREE * first.free && second.lack > first.lack + AS_NARROW_PX;
  return (isOther ? second : first)?.strip;
}

function weighed(run: StrokeSection, side: StrokeSide, drawing: GrowingDrawing): Weighed {
  const strip = stripBeside(run, side, drawing);
  const near = strip.beyond.flatMap((there) => (there && isNear(there, drawing) ? [there] : []));
  if (!near.some(({ lack }) => lack > 0)) return { strip, free: 0, lacking: 0, lack: 0 };
  const free = near.filter(
    ({ facing }) => facing && drawing.merged[facing.stroke][facing.place] === 0,
  );
  const lack = near.reduce((sum, there) => sum + there.lack, 0) / near.length;
  return { strip, free: free.length, lacking: near.length, lack };
}

const isNear = ({ lack }: Beyond, { limits }: GrowingDrawing): boolean => lack > -limits.spare;

/** The strip beside a run, and on to both sides as far as there is no room. */
function stripBeside(run: StrokeSection, side: StrokeSide, drawing: GrowingDrawing): GapStrip {
  const { stroke } = run;
  const { x, isClosed } = drawing.strokes[stroke];
  const n = x.length;
  const own = drawing.merged[stroke];
  const look = (k: number): Beyond | undefined => beyond(stroke, (k + n) % n, side, drawing);
  const goesOn = (k: number): boolean => {
    if ((!isClosed && (k < 0 || k >= n)) || own[(k + n) % n] === 1) return false;
    const there = look(k);
    return there !== undefined && isNear(there, drawing);
  };
  let [from, to] = [run.first, run.first + run.count - 1];
  while (to - from + 1 < n && goesOn(to + 1)) to++;
  while (to - from + 1 < n && from > -n && goesOn(from - 1)) from--;
  const places = Array.from({ length: to - from + 1 }, (_, k) => look(from + k));
  return { stroke, side, first: from + n, beyond: places };
}

/** Half the width of the dabs that a strip is filled with: they overlap from place to place where strokes bend. */
const DAB_PX = 2.5;

function giveUp({ stroke, side, first, beyond: places }: GapStrip, drawing: GrowingDrawing): void {
  const { from, data, strokes, merged } = drawing;
  const { x, y } = strokes[stroke];
  // A stroke that comes back beside itself, as a spiral does, is merged with itself turn by turn: each turn once.
  const [begun, faced] = [new Uint8Array(x.length), new Uint8Array(x.length)];
  places.forEach((there, offset) => {
    const k = (first + offset) % x.length;
    if (!there || !isNear(there, drawing) || faced[k] === 1) return;
    const own = there.facing?.stroke === stroke ? there.facing.place : undefined;
    if (own !== undefined && begun[own] === 1) return;
    const [nx, ny] = normalAt(strokes[stroke], k, side);
    for (let d = 0; d <= there.away; d++) {
      stampDisc(data, from.width, from.height, x[k] + nx * d, y[k] + ny * d, DAB_PX, 1);
    }
    begun[k] = 1;
    merged[stroke][k] = 1;
    if (own !== undefined) markRound(faced, own);
    if (there.facing) markRound(merged[there.facing.stroke], there.facing.place);
  });
}

/** So many places on either side of one that is hit are merged with it: what faces a bend is not hit at each place. */
const ROUND = 3;

function markRound(merged: Uint8Array, place: number): void {
  for (let k = place - ROUND; k <= place + ROUND; k++) {
    if (k >= 0 && k < merged.length) merged[k] = 1;
  }
}

/** Draws a run, and the strokes beside it, just as wide as an opening has to be: then nothing has to be widened. */
function exaggerate({ stroke, first, count }: StrokeSection, drawing: GrowingDrawing): void {
  const { from, data, strokes, limits } = drawing;
  const draw = ({ x, y }: Stroke, k: number): void => {
    stampDisc(data, from.width, from.height, x[k], y[k], limits.opening / 2, 1);
  };
  for (let at = first; at < first + count; at++) {
    const k = at % strokes[stroke].x.length;
    draw(strokes[stroke], k);
    for (const side of [1, -1] as const) {
      const facing = beyond(stroke, k, side, drawing)?.facing;
      if (facing) draw(strokes[facing.stroke], facing.place);
    }
  }
}

/** A ray is looked along in steps of so many px: no line of one pixel is passed over. */
const RAY_STEP_PX = 0.5;

/** Looks square to a stroke, across the film beside it, as far as an opening there could lack room. */
function beyond(
  stroke: number,
  k: number,
  side: StrokeSide,
  drawing: GrowingDrawing,
): Beyond | undefined {
  const { from, strokes, limits, near } = drawing;
  const { x, y, halfWidth } = strokes[stroke];
  const [nx, ny] = normalAt(strokes[stroke], k, side);
  const half = Math.max(halfWidth[k], limits.opening / 2);
  const reach = half + limits.strip + limits.opening / 2 + limits.spare;
  const pixel = (d: number): number => {
    const [column, row] = [Math.round(x[k] + d * nx), Math.round(y[k] + d * ny)];
    const isOff = column < 0 || row < 0 || column >= from.width || row >= from.height;
    return isOff ? -1 : row * from.width + column;
  };
  const passes = (value: 0 | 1, start: number, end: number): number => {
    let d = start;
    while (d < end && pixel(d) >= 0 && from.data[pixel(d)] === value) d += RAY_STEP_PX;
    return d;
  };
  const away = passes(0, passes(1, 0, reach), reach);
  if (away >= reach || pixel(away) < 0) return undefined;
  const end = passes(1, away, away + limits.opening);
  // What is too thin over there grows to either side.
  const grows = Math.max(0, limits.opening - (end - away)) / 2;
  const lack = half + limits.strip + grows - away;
  for (let d = away; d < end; d += RAY_STEP_PX) {
    const i = pixel(d);
    if (near.stroke[i] < 0) continue;
    return { away, lack, facing: { stroke: near.stroke[i], place: near.place[i] } };
  }
  return { away, lack };
}
