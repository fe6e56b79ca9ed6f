import * as kernels from '../kernels/generated.js';
import { kernelArrays } from '../kernels/memory.js';
import type { Clearance } from './clearance.js';
import type { ArcLengthSamples } from './arc-length-samples.js';

/** A closed chain of points that bends no tighter than asked, save at its corners. */
export interface SmoothedChain {
  readonly x: Float64Array;
  readonly y: Float64Array;
  /** 1 at a true corner, and at each place where no bend within the room is wide enough. */
  readonly corner: Uint8Array;
}

/**
 * ADMM iterations of the first round, which begins at the trace: more give smoother outlines and take longer; fewer
 * leave more corners.
 */
const FIRST_STEPS = 60;
/** Steps in the rounds after it, and rounds in all: once corners are set the rest is nearly in place. */
const STEPS = 30;
const ROUNDS = 4;
/**
 * Kinks this near each other, in samples, become one corner; mild ones, of so many radians together, also when they
 * are further apart.
 */
const NEAR = 3;
const SOFT_NEAR = 6;
const SOFT_EXCESS = 0.7; // radians
/** Where any turn may be as tight as it likes, the radius is this, in mm: a curvature has to be a number. */
const LEAST_RADIUS_MM = 1e-3;

/**
 * Curvature-bounded smoothing: moves the samples within their clearance so that no bend has a radius under `tightestMm`; where
 * the clearance does not allow that, a corner is set. See `src/kernels/assembly/curvature-smoothing.ts`.
 */
export function smoothCurvature(
  samples: ArcLengthSamples,
  clearance: Clearance,
  tightestMm: number,
): SmoothedChain {
  const n = samples.x.length;
  const reals = [Float64Array, n] as const;
  const flags = [Uint8Array, n] as const;
  const [tracedX, tracedY, normalX, normalY, film, opening, x, y, excess, fixed, corner, rows] =
    kernelArrays(reals, reals, reals, reals, reals, reals, reals, reals, reals, flags, flags, [
      Float64Array,
      kernels.SMOOTHING_ROWS * n,
    ]);
  tracedX.set(samples.x);
  tracedY.set(samples.y);
  normalX.set(samples.normalX);
  normalY.set(samples.normalY);
  film.set(clearance.film);
  opening.set(clearance.opening);
  fixed.set(samples.corner);
  corner.set(samples.corner);
  x.set(samples.x);
  y.set(samples.y);
  kernels.startCurvatureSmoothing(n, x, y, rows);
  for (let round = 0; round < ROUNDS; round++) {
    kernels.smoothCurvature(
      n,
      round === 0 ? FIRST_STEPS : STEPS,
      1 / Math.max(tightestMm, LEAST_RADIUS_MM),
      samples.stepMm / 2,
      tracedX,
      tracedY,
      normalX,
      normalY,
      film,
      opening,
      fixed,
      corner,
      x,
      y,
      excess,
      rows,
    );
    if (!setCorners(excess, corner)) break;
  }
  return { x: x.slice(), y: y.slice(), corner: corner.slice() };
}

/** Sets a corner in the middle of each group of kinks; false when there is none. */
function setCorners(excess: Float64Array, corner: Uint8Array): boolean {
  const groups = groupedKinks(
    groupedKinks(kinksOf(excess), NEAR, Infinity),
    SOFT_NEAR,
    SOFT_EXCESS,
  );
  for (const { first, last, excess: sum, moment } of groups) {
    const middle = sum > 0 ? first + moment / sum : (first + last) / 2;
    corner[Math.round(middle) % corner.length] = 1;
  }
  return groups.length > 0;
}

/** Samples from `first` to `last` (they go round) that bend one way more tightly than allowed. */
interface Kink {
  readonly first: number;
  readonly last: number;
  /** How much they turn more than allowed, in radians, and its first moment about `first`. */
  readonly excess: number;
  readonly moment: number;
  readonly clockwise: boolean;
}

/** Every sample whose bend is a kink, from one that is none once round. */
function kinksOf(excess: Float64Array): Kink[] {
  const n = excess.length;
  let start = 0;
  while (start < n && excess[start] !== 0) start++;
  const kinks: Kink[] = [];
  for (let k = start; k < start + n; k++) {
    const over = excess[k % n];
    if (over === 0) continue;
    kinks.push({ first: k, last: k, excess: Math.abs(over), moment: 0, clockwise: over > 0 });
  }
  return kinks;
}

/** Joins neighbours that turn the same way, are within `near` samples and no sharper than `sharpest`. */
function groupedKinks(kinks: readonly Kink[], near: number, sharpest: number): Kink[] {
  const groups: Kink[] = [];
  for (const kink of kinks) {
    const group = groups.at(-1);
    const together =
      group?.clockwise === kink.clockwise &&
      kink.first - group.last <= near &&
      Math.max(group.excess, kink.excess) < sharpest;
    if (!group || !together) {
      groups.push(kink);
      continue;
    }
    const { first, excess, moment } = group;
    groups[groups.length - 1] = {
      ...kink,
      first,
      excess: excess + kink.excess,
      moment: moment + kink.moment + kink.excess * (kink.first - first),
    };
  }
  return groups;
}
