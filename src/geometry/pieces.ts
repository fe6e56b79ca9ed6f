import { angleBetween } from './angle.js';
import { tightestBend } from './cubic.js';
import { fitCubic, improveFit, newFitting, type Fitting } from './fit.js';
import { writeLine } from './outline.js';

/**
 * A stretch of an outline from one corner to the next, or all round: points to follow, and how far off the traced
 * points a curve may run.
 */
export interface Stretch {
  /** The bent points, both ends included. */
  readonly x: Float64Array;
  readonly y: Float64Array;
  /** The direction at each point, in radians. */
  readonly headings: Float64Array;
  /** The traced points with their normals (into the film) and the room on both sides. */
  readonly tracedX: Float64Array;
  readonly tracedY: Float64Array;
  readonly normalX: Float64Array;
  readonly normalY: Float64Array;
  readonly film: Float64Array;
  readonly opening: Float64Array;
  /** Whether the ends are corners: there the direction is free. */
  readonly corners: boolean;
}

/** The curves chosen for a stretch. */
export interface Pieces {
  /** Six numbers a curve, as in an outline. */
  readonly coords: number[];
  readonly straight: number[];
  /** 1 where a curve starts at a corner. */
  readonly corner: number[];
  /** The station at which each curve starts. */
  readonly starts: number[];
  /** The largest distance of a traced point from the curves, in mm. */
  readonly offMm: number;
}

const JOINT_TURN = 0.15;
const JOINT_MM = 2;
const FEWEST_STEPS = 1;
/**
 * The most that one curve may turn, in radians: between corners nearly half round, and where there are none just
 * under a third, so that a circle has four.
 */
const MOST_TURN = 3;
const MOST_TURN_ROUND = 2.05;
/**
 * How many joints in a row may fail before longer curves are not tried any more. One whose bend alone is too tight
 * counts less: it may have ended at an unlucky place. One that is far off ends the search.
 */
const PATIENCE = 3;
const TIGHT_FAILURE = 0.4;
/** No curve spans more joints than this, however straight: it keeps the search linear in the outline's length. */
const MOST_JOINTS = 48;
const FAR_OFF = 3;
const ROUNDS = 14;
const STRAIGHT_OFF_MM = 0.08;
const STRAIGHT_TURN = 0.015;
const LOOKS = 24;
/** The share of a curve's worth that its evenness may weigh: enough to choose between equal counts only. */
const EVENNESS = 0.2;
const BROKEN_COST = 20;

/** The best way found to each joint: its cost, where its last curve comes from, and that curve. */
interface Ways {
  readonly cost: Float64Array;
  readonly from: Int32Array;
  /** Eight numbers a joint. */
  readonly cubics: Float64Array;
  readonly straight: Uint8Array;
  /** 1 where the curve is a line that does not go on in the directions of its ends: both are corners. */
  readonly broken: Uint8Array;
  readonly offMm: Float64Array;
}

/** What trying a curve gave. */
interface Trial {
  readonly cost: number;
  readonly straight: boolean;
  readonly broken: boolean;
  readonly offMm: number;
}

/** Chooses the fewest curves that follow a stretch: shortest path over its possible joints. */
export function choosePieces(stretch: Stretch, tightestMm: number): Pieces {
  const turned = turnsOf(stretch);
  const end = stretch.x.length - 1;
  const joints = isStraight(stretch, 0, end) ? [0, end] : possibleJoints(stretch, turned);
  const last = joints.length - 1;
  const ways = newWays(last + 1);
  const fitting = newFitting(stretch.x.length);
  const mostTurn = stretch.corners ? MOST_TURN : MOST_TURN_ROUND;
  for (let k = 0; k < last; k++) {
    const a = joints[k];
    let failed = 0;
    const furthest = Math.min(last, k + MOST_JOINTS);
    for (let l = k + 1; l <= furthest && failed < PATIENCE; l++) {
      const b = joints[l];
      const must = l === k + 1;
      if (!must && turned[b] - turned[a] > mostTurn) break;
      const trial = tryCurve(stretch, a, b, fitting, tightestMm, must);
      if (typeof trial === 'number') {
        failed += trial;
      } else {
        failed = 0;
        if (ways.cost[k] + trial.cost < ways.cost[l]) keep(ways, k, l, trial, fitting.cubic);
      }
    }
  }
  return collect(joints, ways, stretch.corners);
}

function newWays(joints: number): Ways {
  const cost = new Float64Array(joints).fill(Infinity);
  cost[0] = 0;
  return {
    cost,
    from: new Int32Array(joints),
    cubics: new Float64Array(8 * joints),
    straight: new Uint8Array(joints),
    broken: new Uint8Array(joints),
    offMm: new Float64Array(joints),
  };
}

function keep(ways: Ways, from: number, to: number, trial: Trial, cubic: Float64Array): void {
  ways.cost[to] = ways.cost[from] + trial.cost;
  ways.from[to] = from;
  ways.cubics.set(cubic, 8 * to);
  ways.straight[to] = Number(trial.straight);
  ways.broken[to] = Number(trial.broken);
  ways.offMm[to] = trial.offMm;
}

function collect(joints: readonly number[], ways: Ways, corners: boolean): Pieces {
  const way: number[] = [];
  for (let l = joints.length - 1; l > 0; l = ways.from[l]) way.push(l);
  way.reverse();
  const isCorner = (l: number, i: number): boolean =>
    ways.broken[l] === 1 || ways.broken[way.at(i - 1)!] === 1 || (corners && i === 0);
  return {
    coords: way.flatMap((l) => [...ways.cubics.subarray(8 * l, 8 * l + 6)]),
    straight: way.map((l) => ways.straight[l]),
    corner: way.map((l, i) => Number(isCorner(l, i))),
    starts: way.map((l) => joints[ways.from[l]]),
    offMm: way.reduce((most, l) => Math.max(most, ways.offMm[l]), 0),
  };
}

/** How much the points have turned up to each of them, in radians, all turns counted as positive. */
function turnsOf({ headings }: Stretch): Float64Array {
  const turned = new Float64Array(headings.length);
  for (let i = 1; i < turned.length; i++) {
    turned[i] = turned[i - 1] + Math.abs(angleBetween(headings[i - 1], headings[i]));
  }
  return turned;
}

/** Where curves may meet: closer where the points turn, so that any curve spans but a few joints. */
function possibleJoints({ x, y }: Stretch, turned: Float64Array): number[] {
  const n = x.length;
  const joints = [0];
  let length = 0;
  let since = 0;
  for (let i = 1; i < n - 1; i++) {
    length += Math.hypot(x[i] - x[i - 1], y[i] - y[i - 1]);
    const previous = joints.at(-1)!;
    const worth = (turned[i] - turned[previous]) / JOINT_TURN + (length - since) / JOINT_MM;
    if (worth >= 1 && i - previous >= FEWEST_STEPS && n - 1 - i >= FEWEST_STEPS) {
      joints.push(i);
      since = length;
    }
  }
  joints.push(n - 1);
  return joints;
}

/**
 * The best curve between two joints, or how much its failure counts. `must`: no failure; where no curve will do, a
 * line between two corners.
 */
function tryCurve(
  stretch: Stretch,
  first: number,
  last: number,
  fitting: Fitting,
  tightestMm: number,
  must: boolean,
): Trial | number {
  if (isStraight(stretch, first, last)) return line(stretch, first, last, fitting, false);
  const leave = stretch.headings[first];
  const arrive = stretch.headings[last];
  const run = {
    x: stretch.x,
    y: stretch.y,
    first,
    last,
    leaveX: Math.cos(leave),
    leaveY: Math.sin(leave),
    arriveX: Math.cos(arrive),
    arriveY: Math.sin(arrive),
    leaveFree: stretch.corners && first === 0,
    arriveFree: stretch.corners && last === stretch.x.length - 1,
  };
  fitCubic(run, fitting);
  let use = roomUsed(stretch, fitting, first, last);
  if (use.share > FAR_OFF && !must) return PATIENCE;
  for (let round = 0; round < ROUNDS && (round === 0 || use.share > 1); round++) {
    improveFit(run, fitting);
    use = roomUsed(stretch, fitting, first, last);
  }
  const good = use.share <= 1 && tightestBend(fitting.cubic, LOOKS) * tightestMm <= 1;
  if (!good) {
    if (must) return line(stretch, first, last, fitting, true);
    return use.share > 1 ? 1 : TIGHT_FAILURE;
  }
  return {
    cost: 1 + EVENNESS * use.share,
    straight: false,
    broken: false,
    offMm: use.off,
  };
}

function isStraight(stretch: Stretch, first: number, last: number): boolean {
  const { x, y, headings, film, opening, corners } = stretch;
  if (x[first] === x[last] && y[first] === y[last]) return false; // all the way round
  const way = Math.atan2(y[last] - y[first], x[last] - x[first]);
  const bends = (i: number): boolean =>
    !(corners && (i === 0 || i === x.length - 1)) &&
    Math.abs(angleBetween(way, headings[i])) > STRAIGHT_TURN;
  if (bends(first) || bends(last)) return false;
  for (let i = first + 1; i < last; i++) {
    const across = offLine(stretch, first, last, i);
    if (Math.abs(across) > STRAIGHT_OFF_MM || across > film[i] || -across > opening[i])
      return false;
  }
  return true;
}

/** How far the line between two points runs off a traced point, into the film. */
function offLine(
  { x, y, tracedX, tracedY, normalX, normalY }: Stretch,
  first: number,
  last: number,
  i: number,
): number {
  const dx = x[last] - x[first];
  const dy = y[last] - y[first];
  const chord = Math.hypot(dx, dy) || 1;
  const off = (dx * (tracedY[i] - y[first]) - dy * (tracedX[i] - x[first])) / chord;
  return (off * (dy * normalX[i] - dx * normalY[i])) / chord;
}

function line(
  stretch: Stretch,
  first: number,
  last: number,
  { cubic }: Fitting,
  broken: boolean,
): Trial {
  const { x, y } = stretch;
  writeLine(cubic, 0, { x: x[first], y: y[first] }, { x: x[last], y: y[last] });
  cubic[6] = x[last];
  cubic[7] = y[last];
  let offMm = 0;
  for (let i = first + 1; i < last; i++) {
    offMm = Math.max(offMm, Math.abs(offLine(stretch, first, last, i)));
  }
  return { cost: broken ? BROKEN_COST : 1, straight: true, broken, offMm };
}

/** How far the curve runs off the traced points: in mm, and as a share of the room that they leave. */
function roomUsed(
  stretch: Stretch,
  { cubic, t }: Fitting,
  first: number,
  last: number,
): { share: number; off: number } {
  const { tracedX, tracedY, normalX, normalY, film, opening } = stretch;
  let share = 0;
  let off = 0;
  for (let k = 1; k < last - first; k++) {
    const i = first + k;
    const u = t[k];
    const s = 1 - u;
    const b0 = s * s * s;
    const b1 = 3 * s * s * u;
    const b2 = 3 * s * u * u;
    const b3 = u * u * u;
    const dx = b0 * cubic[0] + b1 * cubic[2] + b2 * cubic[4] + b3 * cubic[6] - tracedX[i];
    const dy = b0 * cubic[1] + b1 * cubic[3] + b2 * cubic[5] + b3 * cubic[7] - tracedY[i];
    const across = dx * normalX[i] + dy * normalY[i];
    share = Math.max(share, across > 0 ? across / film[i] : -across / opening[i]);
    off = Math.max(off, Math.abs(across));
  }
  return { share, off };
}
