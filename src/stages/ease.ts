import { bend } from '../geometry/bend.js';
import { bluntFilm } from '../geometry/blunt.js';
import { chainOf } from '../geometry/chain.js';
import { cornerStepMm, trueCorners } from '../geometry/corners.js';
import { keptIn } from '../geometry/keep-in.js';
import { pieceChooser, type Pieces } from '../geometry/pieces.js';
import { frameOf, hasRoom, keptInFrame, measureRoom, type Surroundings } from '../geometry/room.js';
import type { Outline, Shape } from '../geometry/shape.js';
import { setStations } from '../geometry/stations.js';
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
  const choose = pieceChooser(stations, room, bent, tightestMm);
  const n = bent.x.length;
  const ends = [...bent.corner.keys()].filter((i) => bent.corner[i]);
  if (ends.length === 0) return closeUp([roundTrip(choose, n)]);
  return closeUp(
    ends.map((start, k) => choose(start, k + 1 < ends.length ? ends[k + 1] : ends[0] + n, true)),
  );
}

/** An outline without corners: its seam is moved to a joint that the first choice found far from it. */
function roundTrip(choose: ReturnType<typeof pieceChooser>, n: number): Pieces {
  const first = choose(0, n, false);
  const seam = first.starts[Math.floor(first.starts.length / 2)];
  const second = choose(seam, seam + n, false);
  return second.straight.length < first.straight.length ? second : first;
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
