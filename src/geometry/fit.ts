/** A run of points that one curve is fitted to, and the directions in which it leaves and arrives. */
export interface Run {
  readonly x: Float64Array;
  readonly y: Float64Array;
  readonly first: number;
  readonly last: number;
  /** Unit vectors along the run at its first and its last point. */
  readonly leaveX: number;
  readonly leaveY: number;
  readonly arriveX: number;
  readonly arriveY: number;
  /** Whether the direction at that end is only a first guess: at a corner any will do. */
  readonly leaveFree: boolean;
  readonly arriveFree: boolean;
}

/** What the fits of one caller write to, so that none allocates: a curve and the parameters of its points. */
export interface Fitting {
  /** The curve: x, y of start, controls and end. */
  readonly cubic: Float64Array;
  /** Parameter of point first + k at k; as long as the longest run. */
  readonly t: Float64Array;
  /** The controls less their ends, x and y each. */
  readonly handles: Float64Array;
  readonly sums: Sums;
}

interface Sums {
  c11: number;
  c12: number;
  c22: number;
  r1x: number;
  r1y: number;
  r2x: number;
  r2y: number;
}

/** @param longest the most points that a run will have */
export function newFitting(longest: number): Fitting {
  return {
    cubic: new Float64Array(8),
    t: new Float64Array(longest),
    handles: new Float64Array(4),
    sums: { c11: 0, c12: 0, c22: 0, r1x: 0, r1y: 0, r2x: 0, r2y: 0 },
  };
}

/**
 * Fits one cubic Bézier curve with given ends and end directions to a run of points, by least squares.
 *
 * Schneider 1990, "An algorithm for automatically fitting digitized curves", Graphics Gems: parameters by chord
 * length, then handle lengths by least squares. `improveFit` goes on from there.
 */
export function fitCubic(run: Run, fitting: Fitting): void {
  chordParameters(run, fitting.t);
  placeHandles(run, fitting);
  improveParameters(run, fitting);
}

/** Improves a fit by one round: handles by least squares, parameters by Newton's method (Schneider 1990). */
export function improveFit(run: Run, fitting: Fitting): void {
  placeHandles(run, fitting);
  improveParameters(run, fitting);
}

function chordParameters({ x, y, first, last }: Run, t: Float64Array): void {
  t[0] = 0;
  for (let i = first + 1; i <= last; i++) {
    t[i - first] = t[i - first - 1] + Math.hypot(x[i] - x[i - 1], y[i] - y[i - 1]);
  }
  const whole = t[last - first] || 1;
  for (let k = 1; k <= last - first; k++) t[k] /= whole;
}

/**
 * How strongly the handles are held at a circular arc's, as a share of what a run's points weigh: without it the
 * equations of a short or straight run are as good as singular.
 */
const ARC_WEIGHT = 0.001;

/** The handle length of a circular arc between the ends (Goldapp 1991, its first approximation): c / (3 cos²(θ/4)). */
function arcHandle({ leaveX, leaveY, arriveX, arriveY }: Run, chord: number): number {
  const half = Math.sqrt(Math.max(0, (1 + leaveX * arriveX + leaveY * arriveY) / 2)); // cos(θ/2)
  return (2 * chord) / (3 * (1 + half));
}

/**
 * Sets the curve's controls by least squares: along the given directions, or anywhere at a free end; to an arc's
 * where they come out of all proportion.
 */
function placeHandles(run: Run, fitting: Fitting): void {
  const { x, y, first, last, leaveX, leaveY, arriveX, arriveY } = run;
  const { cubic, handles } = fitting;
  const chord = Math.hypot(x[last] - x[first], y[last] - y[first]);
  const arc = arcHandle(run, chord);
  sumUp(run, fitting, arc);
  if (run.leaveFree && run.arriveFree) solveBothFree(fitting);
  else if (run.leaveFree) solveLeaveFree(run, fitting);
  else if (run.arriveFree) solveArriveFree(run, fitting);
  else solveDirected(run, fitting);
  const fair = (length: number): boolean => length > 0.05 * chord && length < 2 * chord;
  const leave = handles[0] * leaveX + handles[1] * leaveY;
  const arrive = -(handles[2] * arriveX + handles[3] * arriveY);
  if (!fair(leave) || !fair(arrive)) {
    setHandles(handles, arc * leaveX, arc * leaveY, -arc * arriveX, -arc * arriveY);
  }
  cubic[0] = x[first];
  cubic[1] = y[first];
  cubic[2] = x[first] + handles[0];
  cubic[3] = y[first] + handles[1];
  cubic[4] = x[last] + handles[2];
  cubic[5] = y[last] + handles[3];
  cubic[6] = x[last];
  cubic[7] = y[last];
}

/**
 * The normal equations of both handles: c11 p + c12 r = r1 and c12 p + c22 r = r2, for x and for y, where p and r
 * are the controls less their ends.
 */
function sumUp(run: Run, { t, sums }: Fitting, arc: number): void {
  const { x, y, first, last } = run;
  const x0 = x[first];
  const y0 = y[first];
  const x3 = x[last];
  const y3 = y[last];
  const weight = ARC_WEIGHT * (last - first);
  let c11 = weight;
  let c12 = 0;
  let c22 = weight;
  let r1x = weight * arc * run.leaveX;
  let r1y = weight * arc * run.leaveY;
  let r2x = -weight * arc * run.arriveX;
  let r2y = -weight * arc * run.arriveY;
  for (let k = 1; k < last - first; k++) {
    const u = t[k];
    const s = 1 - u;
    const b1 = 3 * s * s * u;
    const b2 = 3 * s * u * u;
    const b01 = s * s * s + b1;
    const b23 = u * u * u + b2;
    const dx = x[first + k] - x0 * b01 - x3 * b23;
    const dy = y[first + k] - y0 * b01 - y3 * b23;
    c11 += b1 * b1;
    c12 += b1 * b2;
    c22 += b2 * b2;
    r1x += b1 * dx;
    r1y += b1 * dy;
    r2x += b2 * dx;
    r2y += b2 * dy;
  }
  sums.c11 = c11;
  sums.c12 = c12;
  sums.c22 = c22;
  sums.r1x = r1x;
  sums.r1y = r1y;
  sums.r2x = r2x;
  sums.r2y = r2y;
}

function setHandles(handles: Float64Array, px: number, py: number, rx: number, ry: number): void {
  handles[0] = px;
  handles[1] = py;
  handles[2] = rx;
  handles[3] = ry;
}

function solveBothFree({ handles, sums }: Fitting): void {
  const { c11, c12, c22, r1x, r1y, r2x, r2y } = sums;
  const det = c11 * c22 - c12 * c12;
  setHandles(
    handles,
    (r1x * c22 - r2x * c12) / det,
    (r1y * c22 - r2y * c12) / det,
    (c11 * r2x - c12 * r1x) / det,
    (c11 * r2y - c12 * r1y) / det,
  );
}

function solveArriveFree({ leaveX, leaveY }: Run, { handles, sums }: Fitting): void {
  const { c11, c12, c22, r1x, r1y, r2x, r2y } = sums;
  const share = c12 / c22;
  const along = leaveX * (r1x - share * r2x) + leaveY * (r1y - share * r2y);
  const px = (along / (c11 - share * c12)) * leaveX;
  const py = (along / (c11 - share * c12)) * leaveY;
  setHandles(handles, px, py, (r2x - c12 * px) / c22, (r2y - c12 * py) / c22);
}

function solveLeaveFree({ arriveX, arriveY }: Run, { handles, sums }: Fitting): void {
  const { c11, c12, c22, r1x, r1y, r2x, r2y } = sums;
  const share = c12 / c11;
  const along = arriveX * (r2x - share * r1x) + arriveY * (r2y - share * r1y);
  const rx = (along / (c22 - share * c12)) * arriveX;
  const ry = (along / (c22 - share * c12)) * arriveY;
  setHandles(handles, (r1x - c12 * rx) / c11, (r1y - c12 * ry) / c11, rx, ry);
}

function solveDirected(run: Run, { handles, sums }: Fitting): void {
  const { leaveX, leaveY, arriveX, arriveY } = run;
  const { c11, c12, c22, r1x, r1y, r2x, r2y } = sums;
  const cross = -c12 * (leaveX * arriveX + leaveY * arriveY);
  const r1 = leaveX * r1x + leaveY * r1y;
  const r2 = -(arriveX * r2x + arriveY * r2y);
  const det = c11 * c22 - cross * cross;
  const leave = (r1 * c22 - r2 * cross) / det;
  const arrive = (c11 * r2 - cross * r1) / det;
  setHandles(handles, leave * leaveX, leave * leaveY, -arrive * arriveX, -arrive * arriveY);
}

/** One step of Newton's method for each point: towards the parameter of the curve's nearest place. */
function improveParameters({ x, y, first, last }: Run, { cubic, t }: Fitting): void {
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
    if (slope > 1e-9) t[k] = Math.min(1, Math.max(0, u - (offX * vx + offY * vy) / slope));
  }
}
