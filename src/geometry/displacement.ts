import { boundingBox, type Bounds } from './bounding-box.js';
import { cubicOf, pointAt } from './cubic.js';
import { writeLine } from './outline.js';
import type { Outline, Point } from './shape.js';
import { subCurve } from './sub-curve.js';

/** A place at which two stretches of outline are moved apart. */
export interface Push {
  /** The two places that are moved, in mm. */
  readonly from: Point;
  readonly to: Point;
  /** How far each is moved away from the other, in mm. */
  readonly fromBy: number;
  readonly toBy: number;
  /** So far round the way between the two everything gives way, in mm, the less the further off. */
  readonly reachMm: number;
}

/**
 * What a moved curve may be off from where its points are moved, in mm: under half of what a neck is made wider than
 * its limit.
 */
const OFF_MM = 0.004;
/** A straight line that is bent by no more than this, in mm, stays one: less than a ruler and a hand keep to. */
const STRAIGHT_OFF_MM = 0.012;
/** Halvings of a curve at most, each leaves a quarter of the error or less: a 4096th after six. */
const MOST_HALVINGS = 6;
/** Where a moved curve is looked at, as parameters: between its ends, which are moved exactly. */
const SAMPLES = [0.2, 0.4, 0.6, 0.8];

/**
 * Moves stretches of an outline apart: the sheet is stretched a little across each push, evenly and the less the further
 * off, so that curves which meet smoothly still do. Curves are parted where they would not follow. The same object
 * when no push comes near.
 */
export function displaced(outline: Outline, pushes: readonly Push[], within: Bounds): Outline {
  const near = pushes.filter((push) => comesNear(outline.coords, push));
  if (near.length === 0) return outline;
  const move = mover(near, within);
  const coords: number[] = [];
  const straight: number[] = [];
  const corner: number[] = [];
  const add = (cubic: Float64Array, isStraight: boolean, isCorner: number): void => {
    for (let k = 0; k < 6; k++) coords.push(cubic[k]);
    straight.push(Number(isStraight));
    corner.push(isCorner);
  };
  const addMoved = (
    cubic: Float64Array,
    isStraight: boolean,
    isCorner: number,
    left: number,
  ): void => {
    const moved = isStraight ? movedLine(cubic, move) : movedCurve(cubic, move);
    const off = offOf(cubic, moved, move);
    if (off <= (isStraight ? STRAIGHT_OFF_MM : OFF_MM) || left === 0) {
      add(moved, isStraight, isCorner);
    } else if (isStraight) {
      addMoved(cubic, false, isCorner, left);
    } else {
      addMoved(subCurve(cubic, 0, 0.5), false, isCorner, left - 1);
      addMoved(subCurve(cubic, 0.5, 1), false, 0, left - 1);
    }
  };
  for (let i = 0; i < outline.straight.length; i++) {
    const cubic = cubicOf(outline, i);
    const isStraight = outline.straight[i] === 1;
    if (near.some((push) => comesNear(cubic, push))) {
      addMoved(cubic, isStraight, outline.corner[i], MOST_HALVINGS);
    } else add(cubic, isStraight, outline.corner[i]);
  }
  return {
    coords: Float64Array.from(coords),
    straight: Uint8Array.from(straight),
    corner: Uint8Array.from(corner),
  };
}

/** Whether the box round some points reaches into the box round a push. */
export function comesNear(coords: Float64Array, { from, to, reachMm }: Push): boolean {
  const [left, top, right, bottom] = boundingBox(coords);
  return (
    Math.max(from.x, to.x) + reachMm > left &&
    Math.min(from.x, to.x) - reachMm < right &&
    Math.max(from.y, to.y) + reachMm > top &&
    Math.min(from.y, to.y) - reachMm < bottom
  );
}

type Move = (x: number, y: number) => readonly [number, number];

function mover(pushes: readonly Push[], within: Bounds): Move {
  const fields = pushes.map(fieldOf);
  const depthMm = Math.max(...pushes.map(({ reachMm }) => reachMm));
  return (x, y) => {
    let [dx, dy, sum] = [0, 0, 0];
    for (const field of fields) {
      const [share, fx, fy] = field(x, y);
      // Where pushes overlap they share, and do not add up.
      dx += share * share * fx;
      dy += share * share * fy;
      sum += share;
    }
    if (sum === 0) return [x, y];
    const [freeX, freeY] = freedom(x, y, dx, dy, within, depthMm);
    return [x + (freeX * dx) / sum, y + (freeY * dy) / sum];
  };
}

/**
 * The shares, 0 to 1, of a move across and down that the box leaves to a place: none at its edge, all from a depth on.
 */
function freedom(
  x: number,
  y: number,
  dx: number,
  dy: number,
  { left, top, right, bottom }: Bounds,
  depthMm: number,
): readonly [number, number] {
  return [
    eased((dx < 0 ? x - left : right - x) / depthMm),
    eased((dy < 0 ? y - top : bottom - y) / depthMm),
  ];
}

function eased(value: number): number {
  const share = Math.min(1, Math.max(0, value));
  return share * share * (3 - 2 * share);
}

/** The share, 0 to 1, of a move of the first of two places away from the second that a box leaves it. */
export function roomBehind(from: Point, to: Point, depthMm: number, within: Bounds): number {
  const length = Math.hypot(to.x - from.x, to.y - from.y);
  const [nx, ny] = [(from.x - to.x) / length, (from.y - to.y) / length];
  const [freeX, freeY] = freedom(from.x, from.y, nx, ny, within, depthMm);
  return freeX * nx * nx + freeY * ny * ny;
}

/** By place: the share of a push that it is given, and the push at that place, in mm. */
function fieldOf({
  from,
  to,
  fromBy,
  toBy,
  reachMm,
}: Push): (x: number, y: number) => readonly [number, number, number] {
  const length = Math.hypot(to.x - from.x, to.y - from.y);
  const [nx, ny] = [(to.x - from.x) / length, (to.y - from.y) / length];
  const [mx, my] = [(from.x + to.x) / 2, (from.y + to.y) / 2];
  const half = length / 2;
  return (x, y) => {
    const along = (x - mx) * nx + (y - my) * ny;
    const aside = (y - my) * nx - (x - mx) * ny;
    const beyond = Math.max(0, Math.abs(along) - half);
    const off = (aside * aside + beyond * beyond) / (reachMm * reachMm);
    if (off >= 1) return [0, 0, 0];
    const share = (1 - off) * (1 - off);
    // Between the two sides the move turns over, the more gently the further from the neck.
    const turns = along / Math.sqrt(half * half + aside * aside);
    const way = Math.abs(turns) >= 1 ? Math.sign(turns) : Math.sin((Math.PI / 2) * turns);
    const by = way < 0 ? way * fromBy : way * toBy;
    return [share, by * nx, by * ny];
  };
}

function movedCurve(cubic: Float64Array, move: Move): Float64Array {
  const moved = new Float64Array(8);
  for (let k = 0; k < 8; k += 2) [moved[k], moved[k + 1]] = move(cubic[k], cubic[k + 1]);
  return moved;
}

function movedLine(cubic: Float64Array, move: Move): Float64Array {
  const [x0, y0] = move(cubic[0], cubic[1]);
  const [x1, y1] = move(cubic[6], cubic[7]);
  const moved = new Float64Array(8);
  writeLine(moved, 0, { x: x0, y: y0 }, { x: x1, y: y1 });
  moved[6] = x1;
  moved[7] = y1;
  return moved;
}

/** How far a moved curve is off, at most, from where its points are moved to. */
function offOf(cubic: Float64Array, moved: Float64Array, move: Move): number {
  let most = 0;
  for (const t of SAMPLES) {
    const [x, y] = move(...pointAt(cubic, t));
    const [mx, my] = pointAt(moved, t);
    most = Math.max(most, Math.hypot(x - mx, y - my));
  }
  return most;
}
