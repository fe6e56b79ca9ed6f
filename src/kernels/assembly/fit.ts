import { hypot } from './math';

/** A run of points that one curve is fitted to, and the directions in which it leaves and arrives. */
@unmanaged
export class Run {
  first: i32 = 0;
  last: i32 = 0;
  /** Unit vectors along the run at its first and its last point. */
  leaveX: f64 = 0;
  leaveY: f64 = 0;
  arriveX: f64 = 0;
  arriveY: f64 = 0;
  /** Whether the direction at that end is only a first guess: at a corner any will do. */
  leaveFree: bool = false;
  arriveFree: bool = false;
}

/**
 * The normal equations of both handles, p and r, the controls less their ends: three numbers (xx, xy, yy) for each of
 * p with p, p with r and r with r, and the right sides.
 */
const pp = new StaticArray<f64>(3);
const pr = new StaticArray<f64>(3);
const rr = new StaticArray<f64>(3);
let sidePX: f64 = 0;
let sidePY: f64 = 0;
let sideRX: f64 = 0;
let sideRY: f64 = 0;

/** The handles. */
let px: f64 = 0;
let py: f64 = 0;
let rx: f64 = 0;
let ry: f64 = 0;

/** What is free: up to four directions, each of one handle; the equations in how far they go, row by row, and that. */
const MOST_FREE = 4;
const ofLeave = new StaticArray<bool>(MOST_FREE);
const wayX = new StaticArray<f64>(MOST_FREE);
const wayY = new StaticArray<f64>(MOST_FREE);
const matrix = new StaticArray<f64>(MOST_FREE * MOST_FREE);
const far = new StaticArray<f64>(MOST_FREE);
let free = 0;

const fitted = new Run();

/** Fits a curve to points, for a look at the fit alone: `beginFit`, and `improveFit` so many `rounds`. */
export function fitCubic(
  x: StaticArray<f64>,
  y: StaticArray<f64>,
  last: i32,
  leaveX: f64,
  leaveY: f64,
  arriveX: f64,
  arriveY: f64,
  isFree: i32,
  rounds: i32,
  cubic: StaticArray<f64>,
  t: StaticArray<f64>,
): void {
  fitted.last = last;
  fitted.leaveX = leaveX;
  fitted.leaveY = leaveY;
  fitted.arriveX = arriveX;
  fitted.arriveY = arriveY;
  fitted.leaveFree = fitted.arriveFree = isFree !== 0;
  beginFit(x, y, fitted, cubic, t);
  for (let round = 0; round < rounds; round++) improveFit(x, y, fitted, cubic, t);
}

/**
 * Fits one cubic Bézier curve with given ends and end directions to a run of points, by least squares.
 *
 * Begins with a circular arc's handles and parameters by chord length (Schneider 1990, "An algorithm for automatically
 * fitting digitized curves", Graphics Gems). `improveFit` goes on from there.
 *
 * @param cubic the curve: x, y of start, controls and end
 * @param t the parameter of point first + k at k
 */
export function beginFit(
  x: StaticArray<f64>,
  y: StaticArray<f64>,
  run: Run,
  cubic: StaticArray<f64>,
  t: StaticArray<f64>,
): void {
  chordParameters(x, y, run.first, run.last, t);
  const arc = arcHandle(run, hypot(x[run.last] - x[run.first], y[run.last] - y[run.first]));
  setArc(run, arc);
  writeCurve(x, y, run, cubic);
  improveFit(x, y, run, cubic, t);
}

/**
 * Improves a fit by one round: handles by least squares, mostly of how far the points lie off across the curve, then
 * parameters by Newton's method. What a point is off along the curve its parameter will mend: where that counts in full,
 * as in Schneider 1990, it takes many times as many rounds (Wang, Pottmann & Liu 2006, "Fitting B-spline curves to point
 * clouds by curvature-based squared distance minimization", ACM Transactions on Graphics 25).
 */
export function improveFit(
  x: StaticArray<f64>,
  y: StaticArray<f64>,
  run: Run,
  cubic: StaticArray<f64>,
  t: StaticArray<f64>,
): void {
  placeHandles(x, y, run, cubic, t);
  improveParameters(x, y, run.first, run.last, cubic, t);
}

function chordParameters(
  x: StaticArray<f64>,
  y: StaticArray<f64>,
  first: i32,
  last: i32,
  t: StaticArray<f64>,
): void {
  t[0] = 0;
  for (let i = first + 1; i <= last; i++) {
    t[i - first] = t[i - first - 1] + hypot(x[i] - x[i - 1], y[i] - y[i - 1]);
  }
  const length = t[last - first];
  const whole: f64 = length === 0 ? 1 : length;
  for (let k = 1; k <= last - first; k++) t[k] /= whole;
}

/**
 * How strongly the handles are held at a circular arc's, as a share of what a run's points weigh: without it the
 * equations of a short or straight run are as good as singular.
 */
const ARC_WEIGHT: f64 = 0.0002;

/** The handle length of a circular arc between the ends (Goldapp 1991, its first approximation): c / (3 cos²(θ/4)). */
function arcHandle(run: Run, chord: f64): f64 {
  const cosine = (1 + run.leaveX * run.arriveX + run.leaveY * run.arriveY) / 2;
  const half = sqrt(max<f64>(0, cosine)); // cos(θ/2)
  return (2 * chord) / (3 * (1 + half));
}

/**
 * Sets the curve's controls by least squares: along the given directions, or anywhere at a free end; to an arc's
 * where they come out of all proportion.
 */
function placeHandles(
  x: StaticArray<f64>,
  y: StaticArray<f64>,
  run: Run,
  cubic: StaticArray<f64>,
  t: StaticArray<f64>,
): void {
  const chord = hypot(x[run.last] - x[run.first], y[run.last] - y[run.first]);
  const arc = arcHandle(run, chord);
  sumUp(x, y, run, cubic, t, arc);
  setFree(run);
  solve();
  const leave = px * run.leaveX + py * run.leaveY;
  const arrive = -(rx * run.arriveX + ry * run.arriveY);
  if (!isFair(leave, chord) || !isFair(arrive, chord)) {
    setArc(run, arc);
  }
  writeCurve(x, y, run, cubic);
}

/** A handle is fair from a twentieth of its chord to twice it: shorter it makes a kink, longer a loop. A judgement, not measured. */
function isFair(length: f64, chord: f64): bool {
  return length > 0.05 * chord && length < 2 * chord;
}

function setHandles(leaveX: f64, leaveY: f64, arriveX: f64, arriveY: f64): void {
  px = leaveX;
  py = leaveY;
  rx = arriveX;
  ry = arriveY;
}

/** A circular arc's handles. */
function setArc(run: Run, length: f64): void {
  setHandles(
    length * run.leaveX,
    length * run.leaveY,
    -length * run.arriveX,
    -length * run.arriveY,
  );
}

function writeCurve(
  x: StaticArray<f64>,
  y: StaticArray<f64>,
  run: Run,
  cubic: StaticArray<f64>,
): void {
  cubic[0] = x[run.first];
  cubic[1] = y[run.first];
  cubic[2] = cubic[0] + px;
  cubic[3] = cubic[1] + py;
  cubic[6] = x[run.last];
  cubic[7] = y[run.last];
  cubic[4] = cubic[6] + rx;
  cubic[5] = cubic[7] + ry;
}

/** How much it counts what a point lies off along the curve, against what it lies off across. */
const ALONG: f64 = 0.25;

function sumUp(
  x: StaticArray<f64>,
  y: StaticArray<f64>,
  run: Run,
  cubic: StaticArray<f64>,
  t: StaticArray<f64>,
  arc: f64,
): void {
  const first = run.first;
  const last = run.last;
  const x0 = cubic[0];
  const y0 = cubic[1];
  const x1 = cubic[2];
  const y1 = cubic[3];
  const x2 = cubic[4];
  const y2 = cubic[5];
  const x3 = cubic[6];
  const y3 = cubic[7];
  const x10 = x1 - x0;
  const x21 = x2 - x1;
  const x32 = x3 - x2;
  const y10 = y1 - y0;
  const y21 = y2 - y1;
  const y32 = y3 - y2;
  const hold = ARC_WEIGHT * <f64>(last - first);
  // Sums that are no array's stay in registers.
  let ppXX: f64 = hold;
  let ppXY: f64 = 0;
  let ppYY: f64 = hold;
  let prXX: f64 = 0;
  let prXY: f64 = 0;
  let prYY: f64 = 0;
  let rrXX: f64 = hold;
  let rrXY: f64 = 0;
  let rrYY: f64 = hold;
  let pX: f64 = hold * arc * run.leaveX;
  let pY: f64 = hold * arc * run.leaveY;
  let rX: f64 = -hold * arc * run.arriveX;
  let rY: f64 = -hold * arc * run.arriveY;
  for (let k = 1; k < last - first; k++) {
    const u = t[k];
    const s = 1 - u;
    const b1 = 3 * s * s * u;
    const b2 = 3 * s * u * u;
    const b01 = s * s * s + b1;
    const b23 = u * u * u + b2;
    const dx = x[first + k] - x0 * b01 - x3 * b23;
    const dy = y[first + k] - y0 * b01 - y3 * b23;
    // Its way, not to scale.
    const vx = s * s * x10 + 2 * s * u * x21 + u * u * x32;
    const vy = s * s * y10 + 2 * s * u * y21 + u * u * y32;
    const each = (1 - ALONG) / (vx * vx + vy * vy + 1e-12);
    const xx = each * vy * vy + ALONG;
    const xy = -each * vx * vy;
    const yy = each * vx * vx + ALONG;
    const b11 = b1 * b1;
    const b12 = b1 * b2;
    const b22 = b2 * b2;
    ppXX += b11 * xx;
    ppXY += b11 * xy;
    ppYY += b11 * yy;
    prXX += b12 * xx;
    prXY += b12 * xy;
    prYY += b12 * yy;
    rrXX += b22 * xx;
    rrXY += b22 * xy;
    rrYY += b22 * yy;
    const offX = xx * dx + xy * dy;
    const offY = xy * dx + yy * dy;
    pX += b1 * offX;
    pY += b1 * offY;
    rX += b2 * offX;
    rY += b2 * offY;
  }
  keep(pp, ppXX, ppXY, ppYY);
  keep(pr, prXX, prXY, prYY);
  keep(rr, rrXX, rrXY, rrYY);
  sidePX = pX;
  sidePY = pY;
  sideRX = rX;
  sideRY = rY;
}

function keep(sums: StaticArray<f64>, xx: f64, xy: f64, yy: f64): void {
  sums[0] = xx;
  sums[1] = xy;
  sums[2] = yy;
}

/** Lists what is free: one length along a given direction, or two at an end that has none. */
function setFree(run: Run): void {
  free = 0;
  if (run.leaveFree) {
    addFree(true, 1, 0);
    addFree(true, 0, 1);
  } else {
    addFree(true, run.leaveX, run.leaveY);
  }
  if (run.arriveFree) {
    addFree(false, 1, 0);
    addFree(false, 0, 1);
  } else {
    addFree(false, -run.arriveX, -run.arriveY);
  }
}

function addFree(leave: bool, x: f64, y: f64): void {
  ofLeave[free] = leave;
  wayX[free] = x;
  wayY[free] = y;
  free++;
}

/** Solves the equations for what is free, by elimination, and sets the handles. */
function solve(): void {
  for (let i = 0; i < free; i++) {
    for (let j = 0; j < free; j++) {
      const sums = ofLeave[i] !== ofLeave[j] ? pr : ofLeave[i] ? pp : rr;
      matrix[MOST_FREE * i + j] =
        wayX[i] * (sums[0] * wayX[j] + sums[1] * wayY[j]) +
        wayY[i] * (sums[1] * wayX[j] + sums[2] * wayY[j]);
    }
    far[i] = ofLeave[i] ? wayX[i] * sidePX + wayY[i] * sidePY : wayX[i] * sideRX + wayY[i] * sideRY;
  }
  for (let i = 0; i < free; i++) {
    for (let row = i + 1; row < free; row++) {
      const share = matrix[MOST_FREE * row + i] / matrix[MOST_FREE * i + i];
      for (let j = i; j < free; j++) {
        matrix[MOST_FREE * row + j] -= share * matrix[MOST_FREE * i + j];
      }
      far[row] -= share * far[i];
    }
  }
  setHandles(0, 0, 0, 0);
  for (let i = free - 1; i >= 0; i--) {
    for (let j = i + 1; j < free; j++) far[i] -= matrix[MOST_FREE * i + j] * far[j];
    far[i] /= matrix[MOST_FREE * i + i];
    if (ofLeave[i]) {
      px += far[i] * wayX[i];
      py += far[i] * wayY[i];
    } else {
      rx += far[i] * wayX[i];
      ry += far[i] * wayY[i];
    }
  }
}

/** One step of Newton's method for each point: towards the parameter of the curve's nearest place. */
function improveParameters(
  x: StaticArray<f64>,
  y: StaticArray<f64>,
  first: i32,
  last: i32,
  cubic: StaticArray<f64>,
  t: StaticArray<f64>,
): void {
  const x0 = cubic[0];
  const y0 = cubic[1];
  const x1 = cubic[2];
  const y1 = cubic[3];
  const x2 = cubic[4];
  const y2 = cubic[5];
  const x3 = cubic[6];
  const y3 = cubic[7];
  const x10 = x1 - x0;
  const x21 = x2 - x1;
  const x32 = x3 - x2;
  const y10 = y1 - y0;
  const y21 = y2 - y1;
  const y32 = y3 - y2;
  const bendX = x2 - 2 * x1 + x0;
  const bendY = y2 - 2 * y1 + y0;
  const laterX = x3 - 2 * x2 + x1;
  const laterY = y3 - 2 * y2 + y1;
  for (let k = 1; k < last - first; k++) {
    const u = t[k];
    const s = 1 - u;
    const ss = s * s;
    const uu = u * u;
    const b1 = 3 * ss * u;
    const b2 = 3 * s * uu;
    const offX = ss * s * x0 + b1 * x1 + b2 * x2 + uu * u * x3 - x[first + k];
    const offY = ss * s * y0 + b1 * y1 + b2 * y2 + uu * u * y3 - y[first + k];
    const vx = 3 * (ss * x10 + 2 * s * u * x21 + uu * x32);
    const vy = 3 * (ss * y10 + 2 * s * u * y21 + uu * y32);
    const ax = 6 * (s * bendX + u * laterX);
    const ay = 6 * (s * bendY + u * laterY);
    const slope = vx * vx + vy * vy + offX * ax + offY * ay;
    if (slope > 1e-9) t[k] = min<f64>(1, max<f64>(0, u - (offX * vx + offY * vy) / slope));
  }
}
