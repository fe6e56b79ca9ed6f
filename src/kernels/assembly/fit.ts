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

/** The normal equations of both handles: c11 p + c12 r = r1 and c12 p + c22 r = r2, for x and for y. */
let c11: f64 = 0;
let c12: f64 = 0;
let c22: f64 = 0;
let r1x: f64 = 0;
let r1y: f64 = 0;
let r2x: f64 = 0;
let r2y: f64 = 0;

/** The controls less their ends: p and r. */
let px: f64 = 0;
let py: f64 = 0;
let rx: f64 = 0;
let ry: f64 = 0;

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
 * Schneider 1990, "An algorithm for automatically fitting digitized curves", Graphics Gems: parameters by chord
 * length, then handle lengths by least squares. `improveFit` goes on from there.
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
  improveFit(x, y, run, cubic, t);
}

/** Improves a fit by one round: handles by least squares, parameters by Newton's method (Schneider 1990). */
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
const ARC_WEIGHT: f64 = 0.001;

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
  const x0 = x[run.first];
  const y0 = y[run.first];
  const x3 = x[run.last];
  const y3 = y[run.last];
  const chord = hypot(x3 - x0, y3 - y0);
  const arc = arcHandle(run, chord);
  sumUp(x, y, run, t, arc);
  if (run.leaveFree && run.arriveFree) solveBothFree();
  else if (run.leaveFree) solveLeaveFree(run.arriveX, run.arriveY);
  else if (run.arriveFree) solveArriveFree(run.leaveX, run.leaveY);
  else solveDirected(run);
  const leave = px * run.leaveX + py * run.leaveY;
  const arrive = -(rx * run.arriveX + ry * run.arriveY);
  if (!isFair(leave, chord) || !isFair(arrive, chord)) {
    setHandles(arc * run.leaveX, arc * run.leaveY, -arc * run.arriveX, -arc * run.arriveY);
  }
  cubic[0] = x0;
  cubic[1] = y0;
  cubic[2] = x0 + px;
  cubic[3] = y0 + py;
  cubic[4] = x3 + rx;
  cubic[5] = y3 + ry;
  cubic[6] = x3;
  cubic[7] = y3;
}

function isFair(length: f64, chord: f64): bool {
  return length > 0.05 * chord && length < 2 * chord;
}

function sumUp(
  x: StaticArray<f64>,
  y: StaticArray<f64>,
  run: Run,
  t: StaticArray<f64>,
  arc: f64,
): void {
  const first = run.first;
  const last = run.last;
  const x0 = x[first];
  const y0 = y[first];
  const x3 = x[last];
  const y3 = y[last];
  const weight = ARC_WEIGHT * <f64>(last - first);
  let s11 = weight;
  let s12: f64 = 0;
  let s22 = weight;
  let s1x = weight * arc * run.leaveX;
  let s1y = weight * arc * run.leaveY;
  let s2x = -weight * arc * run.arriveX;
  let s2y = -weight * arc * run.arriveY;
  for (let k = 1; k < last - first; k++) {
    const u = t[k];
    const s = 1 - u;
    const b1 = 3 * s * s * u;
    const b2 = 3 * s * u * u;
    const b01 = s * s * s + b1;
    const b23 = u * u * u + b2;
    const dx = x[first + k] - x0 * b01 - x3 * b23;
    const dy = y[first + k] - y0 * b01 - y3 * b23;
    s11 += b1 * b1;
    s12 += b1 * b2;
    s22 += b2 * b2;
    s1x += b1 * dx;
    s1y += b1 * dy;
    s2x += b2 * dx;
    s2y += b2 * dy;
  }
  c11 = s11;
  c12 = s12;
  c22 = s22;
  r1x = s1x;
  r1y = s1y;
  r2x = s2x;
  r2y = s2y;
}

function setHandles(leaveX: f64, leaveY: f64, arriveX: f64, arriveY: f64): void {
  px = leaveX;
  py = leaveY;
  rx = arriveX;
  ry = arriveY;
}

function solveBothFree(): void {
  const det = c11 * c22 - c12 * c12;
  setHandles(
    (r1x * c22 - r2x * c12) / det,
    (r1y * c22 - r2y * c12) / det,
    (c11 * r2x - c12 * r1x) / det,
    (c11 * r2y - c12 * r1y) / det,
  );
}

function solveArriveFree(leaveX: f64, leaveY: f64): void {
  const share = c12 / c22;
  const along = leaveX * (r1x - share * r2x) + leaveY * (r1y - share * r2y);
  const length = along / (c11 - share * c12);
  const x = length * leaveX;
  const y = length * leaveY;
  setHandles(x, y, (r2x - c12 * x) / c22, (r2y - c12 * y) / c22);
}

function solveLeaveFree(arriveX: f64, arriveY: f64): void {
  const share = c12 / c11;
  const along = arriveX * (r2x - share * r1x) + arriveY * (r2y - share * r1y);
  const length = along / (c22 - share * c12);
  const x = length * arriveX;
  const y = length * arriveY;
  setHandles((r1x - c12 * x) / c11, (r1y - c12 * y) / c11, x, y);
}

function solveDirected(run: Run): void {
  const cross = -c12 * (run.leaveX * run.arriveX + run.leaveY * run.arriveY);
  const r1 = run.leaveX * r1x + run.leaveY * r1y;
  const r2 = -(run.arriveX * r2x + run.arriveY * r2y);
  const det = c11 * c22 - cross * cross;
  const leave = (r1 * c22 - r2 * cross) / det;
  const arrive = (c11 * r2 - cross * r1) / det;
  setHandles(leave * run.leaveX, leave * run.leaveY, -arrive * run.arriveX, -arrive * run.arriveY);
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
  for (let k = 1; k < last - first; k++) {
    const u = t[k];
    const s = 1 - u;
    const ss = s * s;
    const uu = u * u;
    const b1 = 3 * ss * u;
    const b2 = 3 * s * uu;
    const offX = ss * s * x0 + b1 * x1 + b2 * x2 + uu * u * x3 - x[first + k];
    const offY = ss * s * y0 + b1 * y1 + b2 * y2 + uu * u * y3 - y[first + k];
    const vx = 3 * (ss * (x1 - x0) + 2 * s * u * (x2 - x1) + uu * (x3 - x2));
    const vy = 3 * (ss * (y1 - y0) + 2 * s * u * (y2 - y1) + uu * (y3 - y2));
    const ax = 6 * (s * (x2 - 2 * x1 + x0) + u * (x3 - 2 * x2 + x1));
    const ay = 6 * (s * (y2 - 2 * y1 + y0) + u * (y3 - 2 * y2 + y1));
    const slope = vx * vx + vy * vy + offX * ax + offY * ay;
    if (slope > 1e-9) t[k] = min<f64>(1, max<f64>(0, u - (offX * vx + offY * vy) / slope));
  }
}
