import { hypot } from './math';
import { factorRing, solveRing } from './ring';
import { row } from './rows';

/**
 * Weights of staying at the traced place and of bending little; waves under about 1.5 mm are smoothed away. These and
 * the numbers below were chosen on the open photographs by eye, curve count and corner count; no published source.
 */
const HOLD: f64 = 0.3;
const STIFFNESS: f64 = 1;
const FIXED_HOLD: f64 = 1e5;
/**
 * Price of bending tighter than allowed: high, so that all the room is used before a corner is; and the penalties of the
 * method, of the bends and of the room.
 */
const PRICE: f64 = 2;
const BEND_PENALTY: f64 = 10;
const ROOM_PENALTY: f64 = 1;
/** Over-relaxation of the method of multipliers: 1.5 to 1.8 converge sooner (Boyd et al. 2011, 3.4.3; from memory). */
const OVER_RELAXATION: f64 = 1.6;
/** Limits are measured anew after so many steps: samples move little in that time, and measuring takes longer than a step. */
const STEPS_BETWEEN_SPACINGS = 12;
/** Numbers that the smoothing keeps for itself, for each sample. */
export const SMOOTHING_ROWS: i32 = 17;
/** A bend may be this much tighter than allowed before it counts as a kink. */
const KINK: f64 = 1.15;

/**
 * Curvature-constrained smoothing: moves `n` samples of a closed chain within their clearance until no bend is tighter
 * than allowed, save at corners. Begins with `startCurvatureSmoothing`; some `steps` more with each call.
 *
 * A convex problem: least HOLD/2 · |shift|² + STIFFNESS/2 · |second difference|² + PRICE · (what a second
 * difference is over its limit), within the room. The price grows with the excess, not its square, so that excess
 * gathers in few places, as in the lasso (Tibshirani 1996): these are where corners should be. Solved by the
 * alternating direction method of multipliers (Boyd, Parikh, Chu, Peleato & Eckstein 2011).
 *
 * @param tightest the largest curvature allowed, in 1/mm
 * @param slide how far a sample may move along its outline, in mm
 * @param tracedX,tracedY,normalX,normalY,film,opening the traced places, their normals into the film, and the room on
 *   both sides, in mm
 * @param fixed 1 where a sample stays
 * @param corner 1 where there is no limit to the bend
 * @param x,y the places, from call to call the better
 * @param excess what each sample turns more than allowed, in radians: above 0 clockwise, below 0 the other way
 * @param rows `SMOOTHING_ROWS` · n numbers that are kept from call to call
 */
export function smoothCurvature(
  n: i32,
  steps: i32,
  tightest: f64,
  slide: f64,
  tracedX: StaticArray<f64>,
  tracedY: StaticArray<f64>,
  normalX: StaticArray<f64>,
  normalY: StaticArray<f64>,
  film: StaticArray<f64>,
  opening: StaticArray<f64>,
  fixed: StaticArray<u8>,
  corner: StaticArray<u8>,
  x: StaticArray<f64>,
  y: StaticArray<f64>,
  excess: StaticArray<f64>,
  rows: StaticArray<f64>,
): void {
  // Second differences that keep the limit, the places that keep the room, and what each owes (scaled multipliers).
  const bendX = row(rows, n, 0);
  const bendY = row(rows, n, 1);
  const bendDebtX = row(rows, n, 2);
  const bendDebtY = row(rows, n, 3);
  const roomX = row(rows, n, 4);
  const roomY = row(rows, n, 5);
  const roomDebtX = row(rows, n, 6);
  const roomDebtY = row(rows, n, 7);
  const limit = row(rows, n, 8);
  const bendOfX = row(rows, n, 9);
  const bendOfY = row(rows, n, 10);
  const diagonal = row(rows, n, 11);
  const next = row(rows, n, 12);
  const second = row(rows, n, 13);
  const border = row(rows, n, 14);
  const lastBorder = row(rows, n, 15);
  const push = row(rows, n, 16);
  memory.fill(changetype<usize>(diagonal), 0, (<usize>n * 5) << 3);
  weigh(n, fixed, corner, diagonal, next, second);
  const closing = factorRing(n, diagonal, next, second, border, lastBorder);
  for (let step = 0; step < steps; step++) {
    if (step % STEPS_BETWEEN_SPACINGS === 0) measureLimits(n, x, y, tightest, limit);
    pull(n, fixed, corner, tracedX, bendX, bendDebtX, roomX, roomDebtX, push, x);
    solveRing(n, diagonal, next, second, border, lastBorder, closing, x);
    pull(n, fixed, corner, tracedY, bendY, bendDebtY, roomY, roomDebtY, push, y);
    solveRing(n, diagonal, next, second, border, lastBorder, closing, y);
    secondDifferences(n, x, bendOfX);
    secondDifferences(n, y, bendOfY);
    keepBends(n, corner, limit, bendOfX, bendOfY, bendX, bendY, bendDebtX, bendDebtY);
    relax(n, x, roomX, roomDebtX);
    relax(n, y, roomY, roomDebtY);
    keepRoom(
      n,
      slide,
      tracedX,
      tracedY,
      normalX,
      normalY,
      film,
      opening,
      roomX,
      roomY,
      roomDebtX,
      roomDebtY,
    );
  }
  measureExcess(n, corner, x, y, bendX, bendY, limit, excess);
}

/**
 * Where the multipliers begin: the places are in their room, the bends are what they are.
 *
 * @param rows `SMOOTHING_ROWS` · n numbers
 */
export function startCurvatureSmoothing(
  n: i32,
  x: StaticArray<f64>,
  y: StaticArray<f64>,
  rows: StaticArray<f64>,
): void {
  memory.fill(changetype<usize>(rows), 0, (<usize>(n * SMOOTHING_ROWS)) << 3);
  secondDifferences(n, x, row(rows, n, 0));
  secondDifferences(n, y, row(rows, n, 1));
  memory.copy(changetype<usize>(row(rows, n, 4)), changetype<usize>(x), (<usize>n) << 3);
  memory.copy(changetype<usize>(row(rows, n, 5)), changetype<usize>(y), (<usize>n) << 3);
}

/** The matrix of the placing step: it depends only on where the corners are. */
function weigh(
  n: i32,
  fixed: StaticArray<u8>,
  corner: StaticArray<u8>,
  a: StaticArray<f64>,
  a1: StaticArray<f64>,
  a2: StaticArray<f64>,
): void {
  const w = STIFFNESS + BEND_PENALTY;
  for (let i = 0; i < n; i++) {
    a[i] += ROOM_PENALTY + (fixed[i] ? FIXED_HOLD : HOLD);
    if (corner[i]) continue;
    const b = i > 0 ? i - 1 : n - 1;
    const d = i + 1 < n ? i + 1 : 0;
    a[b] += w;
    a[i] += 4 * w;
    a[d] += w;
    a1[b] -= 2 * w;
    a1[i] -= 2 * w;
    a2[b] += w;
  }
}

/** What pulls at one coordinate of all samples: the traced place, the kept bends and the room. */
function pull(
  n: i32,
  fixed: StaticArray<u8>,
  corner: StaticArray<u8>,
  traced: StaticArray<f64>,
  bends: StaticArray<f64>,
  bendDebt: StaticArray<f64>,
  room: StaticArray<f64>,
  roomDebt: StaticArray<f64>,
  push: StaticArray<f64>,
  result: StaticArray<f64>,
): void {
  for (let i = 0; i < n; i++) push[i] = corner[i] ? 0 : BEND_PENALTY * (bends[i] - bendDebt[i]);
  for (let i = 0; i < n; i++) {
    const before = push[i > 0 ? i - 1 : n - 1];
    const after = push[i + 1 < n ? i + 1 : 0];
    const hold = (fixed[i] ? FIXED_HOLD : HOLD) * traced[i];
    result[i] = hold + ROOM_PENALTY * (room[i] - roomDebt[i]) + before - 2 * push[i] + after;
  }
}

function secondDifferences(n: i32, values: StaticArray<f64>, result: StaticArray<f64>): void {
  for (let i = 1; i < n - 1; i++) result[i] = values[i - 1] - 2 * values[i] + values[i + 1];
  result[0] = values[n - 1] - 2 * values[0] + values[1];
  result[n - 1] = values[n - 2] - 2 * values[n - 1] + values[0];
}

/** A bend of curvature κ has second differences of κ · spacing². */
function measureLimits(
  n: i32,
  x: StaticArray<f64>,
  y: StaticArray<f64>,
  tightest: f64,
  limit: StaticArray<f64>,
): void {
  let before = hypot(x[0] - x[n - 1], y[0] - y[n - 1]);
  for (let i = 0; i < n; i++) {
    const d = i + 1 < n ? i + 1 : 0;
    const after = hypot(x[d] - x[i], y[d] - y[i]);
    const spacing = (before + after) / 2;
    limit[i] = tightest * spacing * spacing;
    before = after;
  }
}

function keepBends(
  n: i32,
  corner: StaticArray<u8>,
  limit: StaticArray<f64>,
  bendOfX: StaticArray<f64>,
  bendOfY: StaticArray<f64>,
  bendX: StaticArray<f64>,
  bendY: StaticArray<f64>,
  bendDebtX: StaticArray<f64>,
  bendDebtY: StaticArray<f64>,
): void {
  const most = PRICE / BEND_PENALTY;
  for (let i = 0; i < n; i++) {
    if (corner[i]) continue;
    const bx = OVER_RELAXATION * bendOfX[i] + (1 - OVER_RELAXATION) * bendX[i] + bendDebtX[i];
    const by = OVER_RELAXATION * bendOfY[i] + (1 - OVER_RELAXATION) * bendY[i] + bendDebtY[i];
    const size = sqrt(bx * bx + by * by);
    const kept = size <= limit[i] ? size : max(limit[i], size - most);
    const share: f64 = size > 0 ? kept / size : 0;
    bendX[i] = bx * share;
    bendY[i] = by * share;
    bendDebtX[i] = bx - bendX[i];
    bendDebtY[i] = by - bendY[i];
  }
}

/** One coordinate between where it is and where its room had it, with what is owed: to be brought into the room. */
function relax(
  n: i32,
  place: StaticArray<f64>,
  room: StaticArray<f64>,
  roomDebt: StaticArray<f64>,
): void {
  for (let i = 0; i < n; i++) {
    room[i] = OVER_RELAXATION * place[i] + (1 - OVER_RELAXATION) * room[i] + roomDebt[i];
  }
}

function keepRoom(
  n: i32,
  slide: f64,
  tracedX: StaticArray<f64>,
  tracedY: StaticArray<f64>,
  normalX: StaticArray<f64>,
  normalY: StaticArray<f64>,
  film: StaticArray<f64>,
  opening: StaticArray<f64>,
  roomX: StaticArray<f64>,
  roomY: StaticArray<f64>,
  roomDebtX: StaticArray<f64>,
  roomDebtY: StaticArray<f64>,
): void {
  for (let i = 0; i < n; i++) {
    const qx = tracedX[i];
    const qy = tracedY[i];
    const nx = normalX[i];
    const ny = normalY[i];
    const vx = roomX[i];
    const vy = roomY[i];
    const sx = vx - qx;
    const sy = vy - qy;
    const across = min(film[i], max(-opening[i], sx * nx + sy * ny));
    const along = min(slide, max(-slide, sy * nx - sx * ny));
    roomX[i] = qx + across * nx - along * ny;
    roomY[i] = qy + across * ny + along * nx;
    roomDebtX[i] = vx - roomX[i];
    roomDebtY[i] = vy - roomY[i];
  }
}

function measureExcess(
  n: i32,
  corner: StaticArray<u8>,
  x: StaticArray<f64>,
  y: StaticArray<f64>,
  bendX: StaticArray<f64>,
  bendY: StaticArray<f64>,
  limit: StaticArray<f64>,
  excess: StaticArray<f64>,
): void {
  for (let i = 0; i < n; i++) {
    const over: f64 = corner[i] ? 0 : max<f64>(0, hypot(bendX[i], bendY[i]) - KINK * limit[i]);
    if (over === 0) {
      excess[i] = 0;
      continue;
    }
    const b = i > 0 ? i - 1 : n - 1;
    const wayX = x[i] - x[b];
    const wayY = y[i] - y[b];
    const turn = over / hypot(wayX, wayY);
    excess[i] = wayX * bendY[i] - wayY * bendX[i] > 0 ? turn : -turn;
  }
}
