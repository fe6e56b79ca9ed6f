import { factorRing, solveRing, type RingFactor } from './ring.js';
import type { Room } from './room.js';
import type { Stations } from './stations.js';

/** A closed chain of points that bends no tighter than asked, save at its corners. */
export interface Bent {
  readonly x: Float64Array;
  readonly y: Float64Array;
  /** 1 at a true corner, and at each place where no bend within the room is wide enough. */
  readonly corner: Uint8Array;
}

/**
 * Weights of staying at the traced place and of bending little; waves under about 1.5 mm are ironed out. These and
 * the numbers below were chosen on the open photographs by eye, curve count and corner count; no published source.
 */
const HOLD = 0.3;
const STIFFNESS = 1;
const FIXED_HOLD = 1e5;
/** Price of bending tighter than allowed: high, so that all the room is used before a corner is. */
const PRICE = 2;
const BEND_PENALTY = 10;
const ROOM_PENALTY = 1;
const OVER_RELAXATION = 1.6;
const FIRST_STEPS = 60;
/** After corners are set the rest is nearly in place. */
const STEPS = 30;
const STEPS_BETWEEN_SPACINGS = 12;
const ROUNDS = 4;
/** Kinks this near each other, in stations, become one corner; two mild ones also when they are further apart. */
const NEAR = 3;
const SOFT_NEAR = 6;
const SOFT_EXCESS = 0.7; // radians
/** A bend may be this much tighter than allowed before it counts as a kink. */
const KINK = 1.15;

interface Work {
  readonly stations: Stations;
  readonly room: Room;
  readonly tightest: number;
  /** 1 where there is no limit to the bend. */
  readonly corner: Uint8Array;
  readonly x: Float64Array;
  readonly y: Float64Array;
  /** Second differences that keep the limit, and what they and the places owe (scaled multipliers). */
  readonly bendX: Float64Array;
  readonly bendY: Float64Array;
  readonly bendDebtX: Float64Array;
  readonly bendDebtY: Float64Array;
  readonly roomX: Float64Array;
  readonly roomY: Float64Array;
  readonly roomDebtX: Float64Array;
  readonly roomDebtY: Float64Array;
  /** The largest second difference allowed at each station. */
  readonly limit: Float64Array;
}

/**
 * Irons the stations within their room so that no bend has a radius under `tightestMm`; where the room does not
 * allow it, a corner is set.
 *
 * A convex problem: least HOLD/2 · |shift|² + STIFFNESS/2 · |second difference|² + PRICE · (what a second
 * difference is over its limit), within the room. The price grows with the excess, not its square, so that excess
 * gathers in few places, as in the lasso (Tibshirani 1996): these are the corners. Solved by the alternating
 * direction method of multipliers (Boyd, Parikh, Chu, Peleato & Eckstein 2011).
 */
export function bend(stations: Stations, room: Room, tightestMm: number): Bent {
  const work = start(stations, room, 1 / Math.max(tightestMm, 1e-3));
  for (let round = 0; round < ROUNDS; round++) {
    iron(work, round === 0 ? FIRST_STEPS : STEPS);
    if (!setCorners(work)) break;
  }
  return { x: work.x, y: work.y, corner: work.corner };
}

function start(stations: Stations, room: Room, tightest: number): Work {
  const { x, y } = stations;
  const n = x.length;
  const zeros = (): Float64Array => new Float64Array(n);
  const bendX = zeros();
  const bendY = zeros();
  secondDifferences(x, bendX);
  secondDifferences(y, bendY);
  return {
    stations,
    room,
    tightest,
    corner: Uint8Array.from(stations.corner),
    x: Float64Array.from(x),
    y: Float64Array.from(y),
    bendX,
    bendY,
    bendDebtX: zeros(),
    bendDebtY: zeros(),
    roomX: Float64Array.from(x),
    roomY: Float64Array.from(y),
    roomDebtX: zeros(),
    roomDebtY: zeros(),
    limit: zeros(),
  };
}

function iron(work: Work, steps: number): void {
  const factor = factorFor(work);
  const n = work.x.length;
  const scratch = new Float64Array(n);
  const bendOfX = new Float64Array(n);
  const bendOfY = new Float64Array(n);
  for (let step = 0; step < steps; step++) {
    if (step % STEPS_BETWEEN_SPACINGS === 0) measureLimits(work);
    place(
      work,
      factor,
      work.x,
      work.stations.x,
      work.bendX,
      work.bendDebtX,
      work.roomX,
      work.roomDebtX,
      scratch,
    );
    place(
      work,
      factor,
      work.y,
      work.stations.y,
      work.bendY,
      work.bendDebtY,
      work.roomY,
      work.roomDebtY,
      scratch,
    );
    secondDifferences(work.x, bendOfX);
    secondDifferences(work.y, bendOfY);
    keepBends(work, bendOfX, bendOfY);
    keepRoom(work);
  }
}

/** The matrix of the placing step: it depends only on where the corners are. */
function factorFor({ stations, corner }: Work): RingFactor {
  const n = corner.length;
  const a = new Float64Array(n);
  const a1 = new Float64Array(n);
  const a2 = new Float64Array(n);
  for (let i = 0; i < n; i++) {
    a[i] += ROOM_PENALTY + (stations.corner[i] ? FIXED_HOLD : HOLD);
    if (corner[i]) continue;
    const w = STIFFNESS + BEND_PENALTY;
    const b = i > 0 ? i - 1 : n - 1;
    const d = i + 1 < n ? i + 1 : 0;
    a[b] += w;
    a[i] += 4 * w;
    a[d] += w;
    a1[b] -= 2 * w;
    a1[i] -= 2 * w;
    a2[b] += w;
  }
  return factorRing(a, a1, a2);
}

/** Places one coordinate of all stations anew, between the traced place, the kept bends and the room. */
function place(
  { stations, corner }: Work,
  factor: RingFactor,
  result: Float64Array,
  traced: Float64Array,
  bends: Float64Array,
  bendDebt: Float64Array,
  room: Float64Array,
  roomDebt: Float64Array,
  scratch: Float64Array,
): void {
  const n = result.length;
  for (let i = 0; i < n; i++) scratch[i] = corner[i] ? 0 : BEND_PENALTY * (bends[i] - bendDebt[i]);
  for (let i = 0; i < n; i++) {
    const before = scratch[i > 0 ? i - 1 : n - 1];
    const after = scratch[i + 1 < n ? i + 1 : 0];
    result[i] =
      (stations.corner[i] ? FIXED_HOLD : HOLD) * traced[i] +
      ROOM_PENALTY * (room[i] - roomDebt[i]) +
      before -
      2 * scratch[i] +
      after;
  }
  solveRing(factor, result);
}

function secondDifferences(values: Float64Array, result: Float64Array): void {
  const n = values.length;
  for (let i = 1; i < n - 1; i++) result[i] = values[i - 1] - 2 * values[i] + values[i + 1];
  result[0] = values[n - 1] - 2 * values[0] + values[1];
  result[n - 1] = values[n - 2] - 2 * values[n - 1] + values[0];
}

/** A bend of curvature κ has second differences of κ · spacing². */
function measureLimits({ x, y, limit, tightest }: Work): void {
  const n = x.length;
  let before = Math.hypot(x[0] - x[n - 1], y[0] - y[n - 1]);
  for (let i = 0; i < n; i++) {
    const d = i + 1 < n ? i + 1 : 0;
    const after = Math.hypot(x[d] - x[i], y[d] - y[i]);
    const spacing = (before + after) / 2;
    limit[i] = tightest * spacing * spacing;
    before = after;
  }
}

function keepBends(work: Work, bendOfX: Float64Array, bendOfY: Float64Array): void {
  const { bendX, bendY, bendDebtX, bendDebtY, limit, corner } = work;
  const most = PRICE / BEND_PENALTY;
  for (let i = 0; i < bendX.length; i++) {
    if (corner[i]) continue;
    const bx = OVER_RELAXATION * bendOfX[i] + (1 - OVER_RELAXATION) * bendX[i] + bendDebtX[i];
    const by = OVER_RELAXATION * bendOfY[i] + (1 - OVER_RELAXATION) * bendY[i] + bendDebtY[i];
    const size = Math.sqrt(bx * bx + by * by);
    const kept = size <= limit[i] ? size : Math.max(limit[i], size - most);
    const share = size > 0 ? kept / size : 0;
    bendX[i] = bx * share;
    bendY[i] = by * share;
    bendDebtX[i] = bx - bendX[i];
    bendDebtY[i] = by - bendY[i];
  }
}

function keepRoom(work: Work): void {
  const { stations, room, x, y, roomX, roomY, roomDebtX, roomDebtY } = work;
  const slide = stations.stepMm / 2;
  for (let i = 0; i < x.length; i++) {
    const qx = stations.x[i];
    const qy = stations.y[i];
    const nx = stations.normalX[i];
    const ny = stations.normalY[i];
    const vx = OVER_RELAXATION * x[i] + (1 - OVER_RELAXATION) * roomX[i] + roomDebtX[i];
    const vy = OVER_RELAXATION * y[i] + (1 - OVER_RELAXATION) * roomY[i] + roomDebtY[i];
    const sx = vx - qx;
    const sy = vy - qy;
    const across = Math.min(room.film[i], Math.max(-room.opening[i], sx * nx + sy * ny));
    const along = Math.min(slide, Math.max(-slide, sy * nx - sx * ny));
    roomX[i] = qx + across * nx - along * ny;
    roomY[i] = qy + across * ny + along * nx;
    roomDebtX[i] = vx - roomX[i];
    roomDebtY[i] = vy - roomY[i];
  }
}

/** Sets a corner in the middle of each group of kinks; false when there is none. */
function setCorners(work: Work): boolean {
  const { corner, bendDebtX, bendDebtY } = work;
  const n = corner.length;
  const groups = joined(joined(kinksOf(work), NEAR, Infinity), SOFT_NEAR, SOFT_EXCESS);
  for (const { first, last, excess, moment } of groups) {
    const middle = excess > 0 ? first + moment / excess : (first + last) / 2;
    const i = Math.round(middle) % n;
    corner[i] = 1;
    bendDebtX[i] = 0;
    bendDebtY[i] = 0;
  }
  return groups.length > 0;
}

/** Stations from `first` to `last` (they go round) that bend one way more tightly than allowed. */
interface Kink {
  readonly first: number;
  readonly last: number;
  /** How much they turn more than allowed, in radians, and its first moment about `first`. */
  readonly excess: number;
  readonly moment: number;
  readonly clockwise: boolean;
}

/** Every station whose bend is a kink, from one that is none once round. */
function kinksOf({ corner, bendX, bendY, limit, x, y }: Work): Kink[] {
  const n = corner.length;
  const over = (i: number): number =>
    corner[i] ? 0 : Math.max(0, Math.hypot(bendX[i], bendY[i]) - KINK * limit[i]);
  let start = 0;
  while (start < n && over(start) > 0) start++;
  const kinks: Kink[] = [];
  for (let k = start; k < start + n; k++) {
    const i = k % n;
    const excess = over(i);
    if (excess === 0) continue;
    const b = (i + n - 1) % n;
    const wayX = x[i] - x[b];
    const wayY = y[i] - y[b];
    const clockwise = wayX * bendY[i] - wayY * bendX[i] > 0;
    kinks.push({
      first: k,
      last: k,
      excess: excess / Math.hypot(wayX, wayY),
      moment: 0,
      clockwise,
    });
  }
  return kinks;
}

/** Joins neighbours that turn the same way, are within `near` stations and no sharper than `sharpest`. */
function joined(kinks: readonly Kink[], near: number, sharpest: number): Kink[] {
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
