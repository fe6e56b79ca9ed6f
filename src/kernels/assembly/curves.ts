import { beginFit, improveFit, Run } from './fit';
import { cos, hypot, sin } from './math';
import { row } from './rows';
import { chordOf, isStraight, layOut, mostPoints, offChord, Stretch } from './stretch';

/** Curves may end where the outline has turned by this much, in radians, or run on for so many mm: finer joints make
 * few better fits and take longer. By eye. */
const JOINT_TURN: f64 = 0.15;
const JOINT_MM: f64 = 2;
/** Samples between two joints at the least. */
const FEWEST_STEPS = 1;
/**
 * The most that one curve may turn, in radians: between corners nearly half round, and where there are none just
 * under a third, so that a circle has four.
 */
const MOST_TURN: f64 = 3;
const MOST_TURN_ROUND: f64 = 2.05;
/**
 * How many joints in a row may fail before longer curves are not tried any more. One whose bend alone is too tight
 * counts less: it may have ended at an unlucky place. One that is far off ends the search.
 */
const PATIENCE: f64 = 4;
const TIGHT_FAILURE: f64 = 0.4;
/** No curve spans more joints than this, however straight: it keeps the search linear in the outline's length. */
const MOST_JOINTS = 48;
/** A fit that is off by so many times its room ends the search: a longer one is no better. */
const FAR_OFF: f64 = 3;
/** Rounds of reparametrisation a fit (Schneider 1990), and places at which it is measured: enough that more change nothing
 * on the samples. */
const ROUNDS = 8;
const LOOKS = 24;
/** The share of a curve's worth that its evenness may weigh: enough to choose between equal counts only. */
const EVENNESS: f64 = 0.2;
/** A straight line that breaks the direction of its neighbours costs as much as so many curves: it makes two corners. */
const BROKEN_COST: f64 = 20;

/** What a piece is: a curve, or a straight line. */
const CURVE: u8 = 0;
const STRAIGHT: u8 = 1;
/** A line that does not go on in the directions of its ends: both are corners. */
export const BROKEN: u8 = 2;

/** Numbers that the choosing keeps for itself, for each of the `mostPoints`. */
export const CURVE_ROWS: i32 = 11;

const stretch = new Stretch();
const run = new Run();
/** The curve that is being tried, what it costs, what kind it is, and how far it runs off the traced points, in mm. */
const tried = new StaticArray<f64>(8);
let triedCost: f64 = 0;
let triedKind: u8 = CURVE;
let triedOff: f64 = 0;
/** How much of the room it uses: 1 is all of it. */
let triedShare: f64 = 0;

/**
 * Chooses the fewest curves that follow a stretch of an outline: shortest path over its possible joints, where the
 * best way to each joint is its cost, where its last curve comes from, and that curve.
 *
 * @param n how many samples the outline has
 * @param samples `SAMPLE_VALUES` rows of `n`: the bent places' x and y, the traced ones', their normals', the room on both sides
 * @param start,steps the stretch's first sample, and how many steps it is to its last; they go round
 * @param corners whether its ends are corners
 * @param tightestMm the least radius of a bend
 * @param joints room for `mostPoints` numbers: the points at which curves may meet
 * @param cost,from,cubics,kind,offMm room for as many, eight times as many cubics: by joint the cost of the way there,
 *   the number of the joint before, the last curve, 0 a curve, 1 a line or 2 a line between two corners, and how far it
 *   runs off the traced points
 * @param rows room for `CURVE_ROWS` · `mostPoints` numbers
 * @returns how many joints there are
 */
export function chooseCurves(
  n: i32,
  samples: StaticArray<f64>,
  start: i32,
  steps: i32,
  corners: i32,
  tightestMm: f64,
  joints: StaticArray<i32>,
  cost: StaticArray<f64>,
  from: StaticArray<i32>,
  cubics: StaticArray<f64>,
  kind: StaticArray<u8>,
  offMm: StaticArray<f64>,
  rows: StaticArray<f64>,
): i32 {
  layOut(stretch, n, samples, start, steps, corners !== 0, rows);
  const t = row(rows, mostPoints(n), 10);
  const last = findJoints(joints);
  cost[0] = 0;
  for (let l = 1; l <= last; l++) cost[l] = Infinity;
  const mostTurn = stretch.corners ? MOST_TURN : MOST_TURN_ROUND;
  const turned = stretch.turned;
  for (let k = 0; k < last; k++) {
    const a = joints[k];
    let failed: f64 = 0;
    const furthest = min(last, k + MOST_JOINTS);
    for (let l = k + 1; l <= furthest && failed < PATIENCE; l++) {
      const b = joints[l];
      const must = l === k + 1;
      if (!must && turned[b] - turned[a] > mostTurn) break;
      const failure = tryCurve(a, b, tightestMm, must, t);
      if (failure > 0) {
        failed += failure;
        continue;
      }
      failed = 0;
      if (cost[k] + triedCost < cost[l]) {
        cost[l] = cost[k] + triedCost;
        from[l] = k;
        kind[l] = triedKind;
        offMm[l] = triedOff;
        for (let i = 0; i < 8; i++) cubics[8 * l + i] = tried[i];
      }
    }
  }
  return last + 1;
}

/** Lists where curves may meet: closer where the points turn, so that any curve spans but a few joints. */
function findJoints(joints: StaticArray<i32>): i32 {
  const end = stretch.end;
  const x = stretch.x;
  const y = stretch.y;
  const turned = stretch.turned;
  let last = 0;
  joints[0] = 0;
  if (!isStraight(stretch, 0, end)) {
    let length: f64 = 0;
    let since: f64 = 0;
    for (let i = 1; i < end; i++) {
      length += hypot(x[i] - x[i - 1], y[i] - y[i - 1]);
      const previous = joints[last];
      const worth = (turned[i] - turned[previous]) / JOINT_TURN + (length - since) / JOINT_MM;
      if (worth >= 1 && i - previous >= FEWEST_STEPS && end - i >= FEWEST_STEPS) {
        joints[++last] = i;
        since = length;
      }
    }
  }
  joints[++last] = end;
  return last;
}

/**
 * Tries the best curve between two joints.
 *
 * @param must no failure: where no curve will do, a line between two corners
 * @returns 0, or how much its failure counts
 */
function tryCurve(first: i32, last: i32, tightestMm: f64, must: bool, t: StaticArray<f64>): f64 {
  if (isStraight(stretch, first, last)) {
    drawLine(first, last, STRAIGHT, 1);
    return 0;
  }
  const x = stretch.x;
  const y = stretch.y;
  setRun(first, last);
  beginFit(x, y, run, tried, t);
  if (!must) {
    measureUse(first, last, t, FAR_OFF);
    if (triedShare > FAR_OFF) return PATIENCE;
  }
  for (let round = 0; round < ROUNDS && (round === 0 || triedShare > 1); round++) {
    improveFit(x, y, run, tried, t);
    measureUse(first, last, t, 1);
  }
  if (triedShare <= 1 && !bendsTighter(tried, LOOKS, tightestMm)) {
    triedCost = 1 + EVENNESS * triedShare;
    triedKind = CURVE;
    return 0;
  }
  if (!must) return triedShare > 1 ? 1 : TIGHT_FAILURE;
  drawLine(first, last, BROKEN, BROKEN_COST);
  return 0;
}

function setRun(first: i32, last: i32): void {
  const leave = stretch.headings[first];
  const arrive = stretch.headings[last];
  run.first = first;
  run.last = last;
  run.leaveX = cos(leave);
  run.leaveY = sin(leave);
  run.arriveX = cos(arrive);
  run.arriveY = sin(arrive);
  run.leaveFree = stretch.corners && first === 0;
  run.arriveFree = stretch.corners && last === stretch.end;
}

function drawLine(first: i32, last: i32, kind: u8, cost: f64): void {
  const x0 = stretch.x[first];
  const y0 = stretch.y[first];
  const x3 = stretch.x[last];
  const y3 = stretch.y[last];
  tried[0] = x0;
  tried[1] = y0;
  tried[2] = x0 + (x3 - x0) / 3;
  tried[3] = y0 + (y3 - y0) / 3;
  tried[4] = x3 + (x0 - x3) / 3;
  tried[5] = y3 + (y0 - y3) / 3;
  tried[6] = x3;
  tried[7] = y3;
  triedCost = cost;
  triedKind = kind;
  triedOff = 0;
  const chord = chordOf(stretch, first, last);
  for (let i = first + 1; i < last; i++) {
    triedOff = max(triedOff, abs(offChord(stretch, first, last, chord, i)));
  }
}

/**
 * Measures how far the curve runs off the traced points: in mm, and as a share of the room that they leave. Where the
 * share is more than `enough` it looks no further, and says so much only.
 */
function measureUse(first: i32, last: i32, t: StaticArray<f64>, enough: f64): void {
  const tracedX = stretch.tracedX;
  const tracedY = stretch.tracedY;
  const normalX = stretch.normalX;
  const normalY = stretch.normalY;
  const film = stretch.film;
  const opening = stretch.opening;
  const x0 = tried[0];
  const y0 = tried[1];
  const x1 = tried[2];
  const y1 = tried[3];
  const x2 = tried[4];
  const y2 = tried[5];
  const x3 = tried[6];
  const y3 = tried[7];
  let share: f64 = 0;
  let off: f64 = 0;
  for (let k = 1; k < last - first && share <= enough; k++) {
    const i = first + k;
    const u = t[k];
    const s = 1 - u;
    const b0 = s * s * s;
    const b1 = 3 * s * s * u;
    const b2 = 3 * s * u * u;
    const b3 = u * u * u;
    const dx = b0 * x0 + b1 * x1 + b2 * x2 + b3 * x3 - tracedX[i];
    const dy = b0 * y0 + b1 * y1 + b2 * y2 + b3 * y3 - tracedY[i];
    const across = dx * normalX[i] + dy * normalY[i];
    share = max(share, across > 0 ? across / film[i] : -across / opening[i]);
    off = max(off, abs(across));
  }
  triedShare = share;
  triedOff = off;
}

/** Whether a curve bends tighter than a radius, in mm, at one of `looks` + 1 even parameters, or stops there. */
function bendsTighter(cubic: StaticArray<f64>, looks: i32, tightestMm: f64): bool {
  const x0 = cubic[0];
  const y0 = cubic[1];
  const x1 = cubic[2];
  const y1 = cubic[3];
  const x2 = cubic[4];
  const y2 = cubic[5];
  const x3 = cubic[6];
  const y3 = cubic[7];
  for (let k = 0; k <= looks; k++) {
    const t = <f64>k / <f64>looks;
    const s = 1 - t;
    const vx = 3 * (s * s * (x1 - x0) + 2 * s * t * (x2 - x1) + t * t * (x3 - x2));
    const vy = 3 * (s * s * (y1 - y0) + 2 * s * t * (y2 - y1) + t * t * (y3 - y2));
    const speed = sqrt(vx * vx + vy * vy);
    // Where it stops there is no bend to tell.
    if (speed === 0) return true;
    const ax = 6 * (s * (x2 - 2 * x1 + x0) + t * (x3 - 2 * x2 + x1));
    const ay = 6 * (s * (y2 - 2 * y1 + y0) + t * (y3 - 2 * y2 + y1));
    const curvature = abs((vx * ay - vy * ax) / (speed * speed * speed));
    if (!(curvature * tightestMm <= 1)) return true;
  }
  return false;
}
