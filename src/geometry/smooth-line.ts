import { evenly, chainLength, type Chain } from './chain.js';

/** How a line is smoothed, in mm. */
export interface LineSmoothing {
  /** From point to point of what comes out, about. */
  readonly stepMm: number;
  /** Waves of this length are halved, shorter ones vanish, longer ones stay. */
  readonly waveMm: number;
  /** The radius that no bend should be tighter than, save at corners. */
  readonly tightestMm: number;
  /** A corner is told by the directions of the line over so much to either side of it; 0 for none. */
  readonly cornerMm: number;
  /** A bend is eased no further once the line is so far off its points there. */
  readonly mostOffMm: number;
  readonly isClosed: boolean;
}

/** A smoothed line. */
export interface SmoothedLine extends Chain {
  /** 1 where the hand stops and turns. */
  readonly corner: Uint8Array;
}

/** A corner turns by so much at least, in radians: 60 degrees, by eye; a lesser one is drawn as a bend. */
const CORNER = (60 * Math.PI) / 180;
/** Rounds in which the places that bend too tightly are smoothed more than the rest. */
const ROUNDS = 8;
/** How much more with each round. */
const STIFFER = 3;
/** An end of an open line weighs so many times as much as a place on it, so that it stays where it is. */
const HELD = 1e6;
/** A corner weighs so many times as much: it gives way a little, as a drawn one lies only about where it was meant. A judgement, not measured. */
const HELD_CORNER = 30;

/**
 * A hand's line through points that wander: a smoothing spline on even steps, stiffer where it would bend too
 * tightly. Ends of an open line stay where they are, and corners about.
 *
 * Whittaker, "On a new method of graduation", Proc. Edinburgh Math. Soc. 41 (1923), with differences of the second
 * order; the matrix has five diagonals, and is solved by Cholesky's decomposition.
 *
 * @param line of two points or more, in mm; a closed one without its first point once more
 * @returns a closed line likewise
 */
export function smoothLine(line: Chain, smoothing: LineSmoothing): SmoothedLine {
  const { stepMm, waveMm, cornerMm, isClosed } = smoothing;
  const whole = isClosed ? { x: withFirst(line.x), y: withFirst(line.y) } : line;
  const length = chainLength(whole.x, whole.y);
  const steps = Math.max(isClosed ? 8 : 2, Math.round(length / stepMm));
  const even = evenly(whole.x, whole.y, steps);
  if (length === 0) return { ...even, corner: new Uint8Array(even.x.length) };
  const step = length / steps;
  const overlap = isClosed ? Math.min(steps, Math.ceil((3 * waveMm) / step)) : 0;
  const from = isClosed ? wrapped(even, steps, overlap) : even;
  const n = from.x.length;
  const corner = sharpPoints(from, Math.round(cornerMm / step));
  const weight = Float64Array.from(corner, (is) => (is === 1 ? HELD_CORNER : 1));
  if (!isClosed) weight[0] = weight[n - 1] = HELD;
  const usual = (waveMm / (2 * Math.PI * step)) ** 4;
  const stiffness = Float64Array.from(corner, (is) => (is === 1 ? 0 : usual));
  let smooth = whittaker(from, stiffness, weight);
  for (let round = 0; round < ROUNDS; round++) {
    if (!stiffen(smooth, from, stiffness, step, smoothing)) break;
    smooth = whittaker(from, stiffness, weight);
  }
  const own = <T extends Float64Array | Uint8Array>(values: T): T =>
    (isClosed ? values.subarray(overlap, overlap + steps) : values) as T;
  return { x: own(smooth.x), y: own(smooth.y), corner: own(corner) };
}

/** Where a line turns by more than a bend does: the sharpest place of each such turn. */
function sharpPoints({ x, y }: Chain, reach: number): Uint8Array {
  const n = x.length;
  const corner = new Uint8Array(n);
  if (reach < 1) return corner;
  const turns = Float64Array.from({ length: n }, (_, i) => {
    if (i < reach || i + reach >= n) return 0;
    const [ax, ay] = [x[i] - x[i - reach], y[i] - y[i - reach]];
    const [bx, by] = [x[i + reach] - x[i], y[i + reach] - y[i]];
    return Math.abs(Math.atan2(ax * by - ay * bx, ax * bx + ay * by));
  });
  for (let i = 0; i < n; i++) {
    if (turns[i] < CORNER) continue;
    const near = turns.subarray(Math.max(0, i - reach), i + reach + 1);
    if (
      near.every((turn) => turn <= turns[i]) &&
      !corner.subarray(Math.max(0, i - reach), i).includes(1)
    )
      // prettier-ignore
      corner[i] = 1;
  }
  return corner;
}

/** The radius of the circle through three points that follow each other: Infinity on a straight line. */
export function bendRadius({ x, y }: Chain, before: number, at: number, after: number): number {
  const [ax, ay] = [x[at] - x[before], y[at] - y[before]];
  const [bx, by] = [x[after] - x[at], y[after] - y[at]];
  const cross = Math.abs(ax * by - ay * bx);
  const sides = Math.hypot(ax, ay) * Math.hypot(bx, by) * Math.hypot(ax + bx, ay + by);
  return cross === 0 ? Infinity : sides / (2 * cross);
}

const withFirst = (values: Float64Array): Float64Array => Float64Array.from([...values, values[0]]);

/** A closed chain that begins so many places earlier and ends as many later. */
function wrapped({ x, y }: Chain, n: number, overlap: number): Chain {
  const at = (values: Float64Array) =>
    Float64Array.from({ length: n + 2 * overlap }, (_, k) => values[(((k - overlap) % n) + n) % n]);
  return { x: at(x), y: at(y) };
}

/**
 * Raises the stiffness round bends under the limit, save at corners, where it is 0, and where the line is too far off
 * already; false where there is no such bend.
 */
function stiffen(
  line: Chain,
  from: Chain,
  stiffness: Float64Array,
  step: number,
  { tightestMm, mostOffMm }: LineSmoothing,
): boolean {
  const n = stiffness.length;
  const reach = Math.ceil(tightestMm / step) + 1;
  const raised = new Uint8Array(n);
  for (let i = 1; i + 1 < n; i++) {
    if (stiffness[i] === 0 || bendRadius(line, i - 1, i, i + 1) >= tightestMm) continue;
    if (Math.hypot(line.x[i] - from.x[i], line.y[i] - from.y[i]) > mostOffMm) continue;
    raised.fill(1, Math.max(0, i - reach), Math.min(n, i + reach + 1));
  }
  raised.forEach((is, i) => {
    if (is === 1) stiffness[i] *= STIFFER;
  });
  return raised.includes(1);
}

/** Solves (W + D'ΛD) z = W p for each axis, where D takes second differences, Λ holds the stiffness and W the weight. */
function whittaker({ x, y }: Chain, stiffness: Float64Array, weight: Float64Array): Chain {
  const n = x.length;
  // The matrix's diagonal and the two beside it.
  const d0 = weight.slice();
  const d1 = new Float64Array(n);
  const d2 = new Float64Array(n);
  for (let i = 1; i + 1 < n; i++) {
    const s = stiffness[i];
    d0[i - 1] += s;
    d0[i] += 4 * s;
    d0[i + 1] += s;
    d1[i - 1] -= 2 * s;
    d1[i] -= 2 * s;
    d2[i - 1] += s;
  }
  // L D L' with a unit lower triangle of two bands.
  const l1 = new Float64Array(n);
  const l2 = new Float64Array(n);
  const d = new Float64Array(n);
  for (let i = 0; i < n; i++) {
    let a = d0[i];
    if (i > 0) a -= l1[i - 1] * l1[i - 1] * d[i - 1];
    if (i > 1) a -= l2[i - 2] * l2[i - 2] * d[i - 2];
    d[i] = a;
    l1[i] = (d1[i] - (i > 0 ? l1[i - 1] * l2[i - 1] * d[i - 1] : 0)) / a;
    l2[i] = d2[i] / a;
  }
  const solve = (values: Float64Array): Float64Array => {
    const z = new Float64Array(n);
    for (let i = 0; i < n; i++) {
      z[i] = weight[i] * values[i];
      if (i > 0) z[i] -= l1[i - 1] * z[i - 1];
      if (i > 1) z[i] -= l2[i - 2] * z[i - 2];
    }
    for (let i = n - 1; i >= 0; i--) {
      z[i] /= d[i];
      if (i + 1 < n) z[i] -= l1[i] * z[i + 1];
      if (i + 2 < n) z[i] -= l2[i] * z[i + 2];
    }
    return z;
  };
  return { x: solve(x), y: solve(y) };
}
