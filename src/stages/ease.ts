import { angleBetween } from '../geometry/angle.js';
import { bend, type Bent } from '../geometry/bend.js';
import { bluntFilm } from '../geometry/blunt.js';
import { chainOf } from '../geometry/chain.js';
import { cornerStepMm, trueCorners } from '../geometry/corners.js';
import { keptIn } from '../geometry/keep-in.js';
import { choosePieces, type Pieces, type Stretch } from '../geometry/pieces.js';
import {
  frameOf,
  hasRoom,
  keptInFrame,
  measureRoom,
  type Room,
  type Surroundings,
} from '../geometry/room.js';
import type { Outline, Shape } from '../geometry/shape.js';
import { setStations, type Stations } from '../geometry/stations.js';
import type { Job } from '../job.js';
import type { Traced } from './trace.js';

/** Outlines that a hand can follow. */
export interface Eased {
  /** Outer outlines run clockwise on the page (∮ x dy > 0 with y down), holes the other way. */
  readonly shapes: readonly Shape[];
  readonly curves: number;
  /** Marked corners: places where the tip stops and turns. */
  readonly corners: number;
  /** The largest distance between the traced outline and the eased one, in mm, at even steps; corners left out. */
  readonly deviationMm: number;
}

type EaseSettings = Pick<Job, 'tightestTurn' | 'narrowestStrip' | 'narrowestOpening'>;

/** Leaves a little of 0.25 mm for what lies between the stations. */
const MOST_OFF_MM = 0.225;
const STEP_MM = 0.25;
const FEWEST_POINTS = 40;
/** The points are bent a little wider than the curves must be, for what fitting adds. */
const WIDER = 1.12;

/** Film runs out no finer than this, in mm, and is cut back at most so far. Common practice, from memory, no source. */
const BLUNT_MM = 0.25;
const MOST_BLUNT_MM = 1.2;

interface EasedOutline {
  readonly outline: Outline;
  readonly offMm: number;
}

/**
 * Redraws traced outlines with the fewest smooth curves that stay near them and turn no tighter than the tool can
 * follow. True corners stay; where a turn is too tight for its place a corner is marked.
 *
 * @param pixelsPerMm px a millimetre of the traced bitmap
 */
export function ease(traced: Traced, pixelsPerMm: number, job: EaseSettings): Eased {
  const { bitmap } = traced;
  const { narrowestStrip, narrowestOpening } = job;
  const frame = frameOf(bitmap, pixelsPerMm);
  const about = { bitmap, pixelsPerMm, narrowestStrip, narrowestOpening, frame };
  let curves = 0;
  let corners = 0;
  let deviationMm = 0;
  const redraw = (outline: Outline): Outline => {
    const eased = easeOutline(outline, about, job.tightestTurn);
    const blunt = bluntFilm(keptIn(eased.outline, frame), BLUNT_MM, MOST_BLUNT_MM);
    curves += blunt.straight.length;
    corners += blunt.corner.reduce((sum, flag) => sum + flag, 0);
    deviationMm = Math.max(deviationMm, eased.offMm);
    return blunt;
  };
  const shapes = traced.shapes.map(({ outer, holes }) => ({
    outer: redraw(outer),
    holes: holes.map(redraw),
  }));
  return { shapes, curves, corners, deviationMm };
}

function easeOutline(outline: Outline, about: Surroundings, tightestMm: number): EasedOutline {
  const chain = chainOf(outline, cornerStepMm, FEWEST_POINTS);
  const corners = trueCorners(chain)
    .filter((corner) => hasRoom(corner, about))
    .map((corner) => keptInFrame(corner, about.frame));
  const stations = setStations(chain, corners, STEP_MM);
  const room = measureRoom(stations, about, MOST_OFF_MM);
  const bent = bend(stations, room, tightestMm * WIDER);
  const ends = [...bent.corner.keys()].filter((i) => bent.corner[i]);
  if (ends.length === 0) return closeUp([roundTrip(stations, room, bent, tightestMm)]);
  const n = bent.x.length;
  const stretches = ends.map((start, k) => {
    const end = k + 1 < ends.length ? ends[k + 1] : ends[0] + n;
    return choosePieces(stretchOf(stations, room, bent, start, end, true), tightestMm);
  });
  return closeUp(stretches);
}

/** An outline without corners: its seam is moved to a joint that the first choice found far from it. */
function roundTrip(stations: Stations, room: Room, bent: Bent, tightestMm: number): Pieces {
  const n = bent.x.length;
  const first = choosePieces(stretchOf(stations, room, bent, 0, n, false), tightestMm);
  const seam = first.starts[Math.floor(first.starts.length / 2)];
  const second = choosePieces(stretchOf(stations, room, bent, seam, seam + n, false), tightestMm);
  return second.straight.length < first.straight.length ? second : first;
}

/**
 * The stretch from station `start` to `end` (which may run past the last: they go round). Its points are the
 * middles between stations, where the direction is known best: a station is where a chain bends.
 */
function stretchOf(
  stations: Stations,
  room: Room,
  bent: Bent,
  start: number,
  end: number,
  corners: boolean,
): Stretch {
  const n = bent.x.length;
  const middles = (values: Float64Array): Float64Array => {
    const steps = end - start;
    const lead = Number(corners);
    const part = new Float64Array(steps + 1 + lead);
    for (let k = 0; k < part.length; k++) {
      part[k] = (values[(start + k - lead) % n] + values[(start + k + 1 - lead) % n]) / 2;
    }
    if (corners) {
      part[0] = values[start % n];
      part[steps + 1] = values[end % n];
    }
    return part;
  };
  return {
    x: middles(bent.x),
    y: middles(bent.y),
    headings: headingsOf(bent, start, end, corners),
    tracedX: middles(stations.x),
    tracedY: middles(stations.y),
    normalX: middles(stations.normalX),
    normalY: middles(stations.normalY),
    film: middles(room.film),
    opening: middles(room.opening),
    corners,
  };
}

/** The direction between the stations of a stretch, in radians, and at its corners, where there are any. */
function headingsOf({ x, y }: Bent, start: number, end: number, corners: boolean): Float64Array {
  const n = x.length;
  const chord = (k: number): number =>
    Math.atan2(y[(k + 1) % n] - y[k % n], x[(k + 1) % n] - x[k % n]);
  if (!corners) return Float64Array.from({ length: end - start + 1 }, (_, k) => chord(start + k));
  const headings = new Float64Array(end - start + 2);
  for (let k = start; k < end; k++) headings[k - start + 1] = chord(k);
  const last = headings.length - 1;
  // Half a step short of a chord's middle the bend has turned half of what it does in a step.
  headings[0] = headings[1] - angleBetween(headings[1], headings[Math.min(2, last - 1)]) / 2;
  headings[last] =
    headings[last - 1] + angleBetween(headings[Math.max(1, last - 2)], headings[last - 1]) / 2;
  return headings;
}

function closeUp(stretches: readonly Pieces[]): EasedOutline {
  return {
    outline: {
      coords: Float64Array.from(stretches.flatMap(({ coords }) => coords)),
      straight: Uint8Array.from(stretches.flatMap(({ straight }) => straight)),
      corner: Uint8Array.from(stretches.flatMap(({ corner }) => corner)),
    },
    offMm: stretches.reduce((most, { offMm }) => Math.max(most, offMm), 0),
  };
}
