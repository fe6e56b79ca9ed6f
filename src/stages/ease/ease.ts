import { smoothCurvature } from '../../geometry/curvature-smoothing.js';
import { bluntFilm } from '../../geometry/blunt.js';
import { chainOf } from '../../geometry/chain.js';
import { cornerStepMm, trueCorners } from '../../geometry/corners.js';
import { clampedToBox } from '../../geometry/box-clamp.js';
import { curveFitter, type FittedCurves } from '../../geometry/curve-fitting.js';
import {
  cornersWithClearance,
  openingsBoxOf,
  measureClearance,
  type Clearance,
} from '../../geometry/clearance.js';
import type { Outline, Shape } from '../../geometry/shape.js';
import { sampleByArcLength, type ArcLengthSamples } from '../../geometry/arc-length-samples.js';
import { withTightTurnsMarked } from '../../geometry/tight-turns.js';
import type { Job } from '../../settings/job.js';
import type { Traced } from '../trace/trace.js';

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

/**
 * How far an eased outline may lie off the traced one, in mm, at the samples: leaves a little of 0.25 mm, two and a
 * half pixels of the raster, for what lies between them.
 */
const MOST_OFF_MM = 0.225;
/**
 * From sample to sample, in mm: finer than any turn that a tip can follow; and the fewest points that corners of a
 * small outline are looked for on.
 */
const STEP_MM = 0.25;
const FEWEST_POINTS = 40;
/** The points are bent a little wider than the curves must be, for what fitting adds. */
const WIDER = 1.12;

/** Film runs out no finer than this, in mm, and is cut back at most so far. Common practice, from memory, no source. */
const BLUNT_MM = 0.25;
const MOST_BLUNT_MM = 1.2;

/** What makes outlines good to follow, each a part that can be left out to measure what it earns. */
export interface EaseHeuristics {
  readonly trueCorners: typeof trueCorners;
  readonly cornersWithClearance: typeof cornersWithClearance;
  readonly smoothCurvature: typeof smoothCurvature;
  readonly roundTrip: typeof roundTrip;
  readonly clampedToBox: typeof clampedToBox;
  readonly bluntFilm: typeof bluntFilm;
  readonly withTightTurnsMarked: typeof withTightTurnsMarked;
}

export const easeHeuristics: EaseHeuristics = {
  trueCorners,
  cornersWithClearance,
  smoothCurvature,
  roundTrip,
  clampedToBox,
  bluntFilm,
  withTightTurnsMarked,
};

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
export function ease(
  traced: Traced,
  pixelsPerMm: number,
  job: EaseSettings,
  heuristics = easeHeuristics,
): Eased {
  const { bitmap } = traced;
  const { narrowestStrip, narrowestOpening } = job;
  const openingsBox = openingsBoxOf(bitmap, pixelsPerMm);
  const about = { bitmap, pixelsPerMm, narrowestStrip, narrowestOpening, openingsBox };
  const chains = outlinesOf(traced).map((outline) => chainOf(outline, cornerStepMm, FEWEST_POINTS));
  const corners = heuristics.cornersWithClearance(chains.map(heuristics.trueCorners), about);
  const samples = chains.map((chain, k) => sampleByArcLength(chain, corners[k], STEP_MM));
  const clearances = samples.map((each) => measureClearance(each, about, MOST_OFF_MM));
  const eased = samples.map((each, k) =>
    easeOutline(each, clearances[k], job.tightestTurn, heuristics),
  );
  const outlines = eased
    .map(({ outline }) => heuristics.clampedToBox(outline, openingsBox))
    .map((outline) => heuristics.bluntFilm(outline, BLUNT_MM, MOST_BLUNT_MM))
    .map((outline) => heuristics.withTightTurnsMarked(outline, job.tightestTurn));
  const marked = outlines.map(({ corner }) => corner.reduce((sum, flag) => sum + flag, 0));
  return {
    shapes: assemble(traced, outlines),
    curves: outlines.reduce((sum, { straight }) => sum + straight.length, 0),
    corners: marked.reduce((sum, count) => sum + count, 0),
    deviationMm: eased.reduce((most, { offMm }) => Math.max(most, offMm), 0),
  };
}

function outlinesOf({ shapes }: Traced): Outline[] {
  return shapes.flatMap(({ outer, holes }) => [outer, ...holes]);
}

/** Shapes of new outlines, which come in the order of `outlinesOf`. */
function assemble({ shapes }: Traced, outlines: readonly Outline[]): Shape[] {
  let at = 0;
  return shapes.map(({ holes }) => {
    const outer = outlines[at++];
    at += holes.length;
    return { outer, holes: outlines.slice(at - holes.length, at) };
  });
}

function easeOutline(
  samples: ArcLengthSamples,
  clearance: Clearance,
  tightestMm: number,
  { smoothCurvature, roundTrip }: EaseHeuristics,
): EasedOutline {
  const bent = smoothCurvature(samples, clearance, tightestMm * WIDER);
  const choose = curveFitter(samples, clearance, bent, tightestMm);
  const n = bent.x.length;
  const ends = [...bent.corner.keys()].filter((i) => bent.corner[i]);
  if (ends.length === 0) return closeUp([roundTrip(choose, n)]);
  return closeUp(
    ends.map((start, k) => choose(start, k + 1 < ends.length ? ends[k + 1] : ends[0] + n, true)),
  );
}

/** An outline without corners: its seam is moved to a joint that the first choice found far from it. */
function roundTrip(choose: ReturnType<typeof curveFitter>, n: number): FittedCurves {
  const first = choose(0, n, false);
  const seam = first.starts[Math.floor(first.starts.length / 2)];
  const second = choose(seam, seam + n, false);
  return second.straight.length < first.straight.length ? second : first;
}

function closeUp(stretches: readonly FittedCurves[]): EasedOutline {
  return {
    outline: {
      coords: Float64Array.from(stretches.flatMap(({ coords }) => coords)),
      straight: Uint8Array.from(stretches.flatMap(({ straight }) => straight)),
      corner: Uint8Array.from(stretches.flatMap(({ corner }) => corner)),
    },
    offMm: stretches.reduce((most, { offMm }) => Math.max(most, offMm), 0),
  };
}
