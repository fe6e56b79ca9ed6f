import { angleBetween, atan2, hypot } from './math';
import { row } from './rows';

/**
 * A stretch of an outline from one corner to the next, or all round: points to follow, and how far off the traced
 * points a curve may run. The points are the middles between samples, where the direction is known best: a sample
 * is where a chain bends.
 */
@unmanaged
export class Stretch {
  /** The number of the last point; the first is 0. */
  end: i32 = 0;
  /** Whether the ends are corners: there the direction is free. */
  corners: bool = false;
  /** The bent points, both ends included. */
  x: StaticArray<f64> = nowhere();
  y: StaticArray<f64> = nowhere();
  /** The traced points with their normals (into the film) and the room on both sides. */
  tracedX: StaticArray<f64> = nowhere();
  tracedY: StaticArray<f64> = nowhere();
  normalX: StaticArray<f64> = nowhere();
  normalY: StaticArray<f64> = nowhere();
  film: StaticArray<f64> = nowhere();
  opening: StaticArray<f64> = nowhere();
  /** The direction at each point, in radians. */
  headings: StaticArray<f64> = nowhere();
  /** How much the points have turned up to each of them, in radians, all turns counted as positive. */
  turned: StaticArray<f64> = nowhere();
}

/** How many values of a sample curves are chosen by: from `x` to `opening`, in the order above. */
export const SAMPLE_VALUES: i32 = 8;

function nowhere(): StaticArray<f64> {
  return changetype<StaticArray<f64>>(0);
}

/** How many points the longest stretch of an outline of `n` samples has: all round, from a corner to itself. */
export function mostPoints(n: i32): i32 {
  return n + 2;
}

/**
 * Lays out the stretch from sample `start` to the one that comes `steps` after it; they go round.
 *
 * @param n how many samples there are
 * @param samples their values, row by row
 * @param rows room for 10 · `mostPoints` numbers
 */
export function layOut(
  stretch: Stretch,
  n: i32,
  samples: StaticArray<f64>,
  start: i32,
  steps: i32,
  corners: bool,
  rows: StaticArray<f64>,
): void {
  const length = mostPoints(n);
  stretch.end = steps + i32(corners);
  stretch.corners = corners;
  stretch.x = row(rows, length, 0);
  stretch.y = row(rows, length, 1);
  stretch.tracedX = row(rows, length, 2);
  stretch.tracedY = row(rows, length, 3);
  stretch.normalX = row(rows, length, 4);
  stretch.normalY = row(rows, length, 5);
  stretch.film = row(rows, length, 6);
  stretch.opening = row(rows, length, 7);
  stretch.headings = row(rows, length, 8);
  stretch.turned = row(rows, length, 9);
  for (let k = 0; k < SAMPLE_VALUES; k++) {
    middles(row(samples, n, k), n, start, steps, corners, row(rows, length, k));
  }
  const x = row(samples, n, 0);
  const y = row(samples, n, 1);
  if (corners) headFromCorner(x, y, n, start, steps, stretch.headings);
  else head(x, y, n, start, steps + 1, stretch.headings, 0);
  measureTurns(stretch);
}

function middles(
  values: StaticArray<f64>,
  n: i32,
  start: i32,
  steps: i32,
  corners: bool,
  part: StaticArray<f64>,
): void {
  const lead = i32(corners);
  let from = (start + n - lead) % n;
  for (let k = 0; k <= steps + lead; k++) {
    const to = from + 1 < n ? from + 1 : 0;
    part[k] = (values[from] + values[to]) / 2;
    from = to;
  }
  if (corners) {
    part[0] = values[start % n];
    part[steps + 1] = values[(start + steps) % n];
  }
}

/** The directions of `count` chords between samples, the first from `start`. */
function head(
  x: StaticArray<f64>,
  y: StaticArray<f64>,
  n: i32,
  start: i32,
  count: i32,
  headings: StaticArray<f64>,
  first: i32,
): void {
  let from = start % n;
  for (let k = 0; k < count; k++) {
    const to = from + 1 < n ? from + 1 : 0;
    headings[first + k] = atan2(y[to] - y[from], x[to] - x[from]);
    from = to;
  }
}

/** The same with the directions at both corners: half a step short of a chord's middle half of a step's turn is done. */
function headFromCorner(
  x: StaticArray<f64>,
  y: StaticArray<f64>,
  n: i32,
  start: i32,
  steps: i32,
  headings: StaticArray<f64>,
): void {
  head(x, y, n, start, steps, headings, 1);
  const last = steps + 1;
  headings[0] = headings[1] - angleBetween(headings[1], headings[min(2, last - 1)]) / 2;
  headings[last] =
    headings[last - 1] + angleBetween(headings[max(1, last - 2)], headings[last - 1]) / 2;
}

function measureTurns(stretch: Stretch): void {
  const headings = stretch.headings;
  const turned = stretch.turned;
  turned[0] = 0;
  for (let i = 1; i <= stretch.end; i++) {
    turned[i] = turned[i - 1] + abs(angleBetween(headings[i - 1], headings[i]));
  }
}

/**
 * A stretch is straight if it lies off its chord by no more than this, in mm, and its headings at both ends turn off the chord
 * by no more than this, in radians: less than a ruler and a hand keep to. A judgement, not measured.
 */
const STRAIGHT_OFF_MM: f64 = 0.08;
const STRAIGHT_TURN: f64 = 0.015;

/** Whether a line from point `first` to `last` will do. */
export function isStraight(stretch: Stretch, first: i32, last: i32): bool {
  const x = stretch.x;
  const y = stretch.y;
  if (x[first] === x[last] && y[first] === y[last]) return false; // all the way round
  const way = atan2(y[last] - y[first], x[last] - x[first]);
  if (bends(stretch, first, way) || bends(stretch, last, way)) return false;
  const chord = chordOf(stretch, first, last);
  for (let i = first + 1; i < last; i++) {
    const across = offChord(stretch, first, last, chord, i);
    if (abs(across) > STRAIGHT_OFF_MM || across > stretch.film[i] || -across > stretch.opening[i])
      return false;
  }
  return true;
}

function bends(stretch: Stretch, i: i32, way: f64): bool {
  if (stretch.corners && (i === 0 || i === stretch.end)) return false;
  return abs(angleBetween(way, stretch.headings[i])) > STRAIGHT_TURN;
}

/** The length of the line between two points; 1 where they are one. */
export function chordOf(stretch: Stretch, first: i32, last: i32): f64 {
  const x = stretch.x;
  const y = stretch.y;
  const length = hypot(x[last] - x[first], y[last] - y[first]);
  return length === 0 ? 1 : length;
}

/** How far the line between two points, so long as `chordOf` says, runs off a traced point, into the film. */
export function offChord(stretch: Stretch, first: i32, last: i32, chord: f64, i: i32): f64 {
  const x = stretch.x;
  const y = stretch.y;
  const dx = x[last] - x[first];
  const dy = y[last] - y[first];
  const off = (dx * (stretch.tracedY[i] - y[first]) - dy * (stretch.tracedX[i] - x[first])) / chord;
  return (off * (dy * stretch.normalX[i] - dx * stretch.normalY[i])) / chord;
}
