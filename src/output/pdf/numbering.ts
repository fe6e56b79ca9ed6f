import { MM_PER_INCH, type Sheet } from '../../settings/card.js';
import { flatten } from '../../geometry/flatten.js';
import { rasterise } from '../../geometry/rasterise.js';
import { isInside } from '../../geometry/boolean-operations.js';
import type { Point, Shape } from '../../geometry/shape.js';

/** Where a piece's number is written. */
export interface NumberPlace {
  readonly number: number;
  /** The text's middle and its baseline, in mm on the sheet. */
  readonly x: number;
  readonly baseline: number;
  readonly points: number;
  /** From the number to its piece, where it stands beside it. */
  readonly leader?: readonly [from: Point, to: Point];
}

/** A piece that wants a number. */
interface Numbered {
  readonly number: number;
  readonly opening: number;
  readonly middle: Point;
  readonly start: Point;
  readonly widthMm: number;
  readonly heightMm: number;
}

/** The grid on which room is looked for: four cells to a mm are finer than the stroke of a digit. */
const CELLS_PER_MM = 4;
/**
 * Points of a number beside its piece, and inside a large one: the smallest type that is read easily, and one for a
 * glance. Common practice, no source.
 */
const POINTS = 7;
const LARGE_POINTS = 10;
/**
 * From points to the height of a digit and the width that it takes, in mm: Helvetica Bold, of the font metrics of the
 * standard 14 fonts (ISO 32000-1, 9.6.2.2).
 */
const DIGIT_HEIGHT = 0.718 * (MM_PER_INCH / 72);
const DIGIT_WIDTH = 0.556 * (MM_PER_INCH / 72);
/** Kept free round a number, in mm: two lines wide, so that no digit touches a cut. */
const GAP_MM = 0.45;
/** How far from its piece a number may stand, in mm: beyond it nobody sees whose it is. */
const FURTHEST_MM = 12;
/**
 * Places are tried in steps of so many mm, in so many directions (15° each): less than a digit moves by and is seen to.
 */
const STEP_MM = 0.5;
const TURNS = 24;
/** How far a polygon may lie off its curve, in mm, where only inside and outside count. */
const COARSE_MM = 0.1;
/** What sums of steps may be off by in binary, in mm: the last place counts. */
const ROUNDING = 1e-9;
/** A number this near its piece, in mm, needs no line to it: the line would be hardly longer than wide. */
const NEAR_MM = 0.6;
/** A place that is to be kept free: its middle, and its size. */
export interface Reserved extends Point {
  readonly box: Sheet;
}

/** The ring that marks where a cut begins. */
const START: Sheet = { widthMm: 1.4, heightMm: 1.4 };

/**
 * Finds a place for each piece's number: inside the piece where it fits, the nearer to its middle the better; else on
 * the film beside it, clear of every opening and of the other numbers, with a line that leads to it.
 *
 * @param reserved what else is written or drawn on the film
 */
export function placeNumbers(
  pieces: readonly Numbered[],
  openings: readonly Shape[],
  sheet: Sheet,
  reserved: readonly Reserved[] = [],
): NumberPlace[] {
  const ground = new LabelSpace(openings, sheet, reserved);
  for (const { start } of pieces) ground.take(start.x, start.y, START);
  return pieces.map(
    (piece) =>
      placeInside(piece, openings[piece.opening], ground) ?? placeBeside(piece, openings, ground),
  );
}

const numberBox = (number: number, points: number): Sheet => ({
  widthMm: String(number).length * DIGIT_WIDTH * points + 2 * GAP_MM,
  heightMm: DIGIT_HEIGHT * points + 2 * GAP_MM,
});

function placeInside(
  piece: Numbered,
  { outer }: Shape,
  ground: LabelSpace,
): NumberPlace | undefined {
  const polygon = flatten(outer, COARSE_MM);
  for (const points of [LARGE_POINTS, POINTS]) {
    const box = numberBox(piece.number, points);
    const { middle, widthMm, heightMm } = piece;
    let best: Point | undefined;
    let least = Infinity;
    const right = (widthMm - box.widthMm) / 2;
    const down = (heightMm - box.heightMm) / 2;
    for (let y = middle.y - down; y <= middle.y + down + ROUNDING; y += STEP_MM) {
      for (let x = middle.x - right; x <= middle.x + right + ROUNDING; x += STEP_MM) {
        const off = Math.hypot(x - middle.x, y - middle.y);
        if (off >= least || !ground.isAll('opening', x, y, box)) continue;
        // The box is all opening: of this piece where its middle is.
        if (!isInside(polygon, x, y)) continue;
        [best, least] = [{ x, y }, off];
      }
    }
    if (best) return centredNumber(piece.number, best, points);
  }
  return undefined;
}

function centredNumber(
  number: number,
  { x, y }: Point,
  points: number,
  leader?: NumberPlace['leader'],
): NumberPlace {
  const baseline = y + (DIGIT_HEIGHT * points) / 2;
  return { number, x, baseline, points, ...(leader && { leader }) };
}

function placeBeside(piece: Numbered, openings: readonly Shape[], ground: LabelSpace): NumberPlace {
  const box = numberBox(piece.number, POINTS);
  const { coords } = openings[piece.opening].outer;
  const joints = Array.from({ length: coords.length / 6 }, (_, i) => ({
    x: coords[6 * i],
    y: coords[6 * i + 1],
  }));
  for (let reach = box.heightMm / 2; reach <= FURTHEST_MM; reach += STEP_MM) {
    for (const joint of joints) {
      for (let turn = 0; turn < TURNS; turn++) {
        const angle = (2 * Math.PI * turn) / TURNS;
        const x = joint.x + Math.cos(angle) * (reach + box.widthMm / 2 - box.heightMm / 2);
        const y = joint.y + Math.sin(angle) * reach;
        if (!ground.isAll('film', x, y, box) || !ground.take(x, y, box)) continue;
        const from = {
          x: x + Math.sign(joint.x - x) * Math.min(Math.abs(joint.x - x), box.widthMm / 2),
          y: y + Math.sign(joint.y - y) * Math.min(Math.abs(joint.y - y), box.heightMm / 2),
        };
        const isNear = Math.hypot(joint.x - from.x, joint.y - from.y) < NEAR_MM;
        return centredNumber(piece.number, { x, y }, POINTS, isNear ? undefined : [from, joint]);
      }
    }
  }
  // No room anywhere near: over the piece itself, small.
  return centredNumber(piece.number, piece.middle, POINTS - 1);
}

/** The sheet as cells of opening and film, with sums over any box of them, and the boxes that are taken. */
class LabelSpace {
  private readonly columns: number;
  private readonly rows: number;
  private readonly sums: Int32Array;
  private readonly taken: Reserved[];

  constructor(
    openings: readonly Shape[],
    { widthMm, heightMm }: Sheet,
    reserved: readonly Reserved[],
  ) {
    this.taken = [...reserved];
    this.columns = Math.ceil(widthMm * CELLS_PER_MM);
    this.rows = Math.ceil(heightMm * CELLS_PER_MM);
    const { data } = rasterise(openings, this.columns, this.rows, CELLS_PER_MM);
    this.sums = summed(data, this.columns, this.rows);
  }

  /** Whether a box round a middle lies in opening, or in film, all of it. */
  isAll(what: 'opening' | 'film', x: number, y: number, { widthMm, heightMm }: Sheet): boolean {
    const left = Math.floor((x - widthMm / 2) * CELLS_PER_MM);
    const right = Math.ceil((x + widthMm / 2) * CELLS_PER_MM);
    const top = Math.floor((y - heightMm / 2) * CELLS_PER_MM);
    const bottom = Math.ceil((y + heightMm / 2) * CELLS_PER_MM);
    if (left < 0 || top < 0 || right > this.columns || bottom > this.rows) return false;
    const stride = this.columns + 1;
    const at = (column: number, row: number): number => this.sums[row * stride + column];
    const open = at(right, bottom) - at(left, bottom) - at(right, top) + at(left, top);
    return open === (what === 'opening' ? (right - left) * (bottom - top) : 0);
  }

  /** Takes a box, if nothing has taken any of it. */
  take(x: number, y: number, box: Sheet): boolean {
    const isFree = this.taken.every(
      (other) =>
        2 * Math.abs(other.x - x) >= other.box.widthMm + box.widthMm ||
        2 * Math.abs(other.y - y) >= other.box.heightMm + box.heightMm,
    );
    if (isFree) this.taken.push({ x, y, box });
    return isFree;
  }
}

/** How many of the cells above and left of each corner are opening. */
function summed(data: Uint8Array, columns: number, rows: number): Int32Array {
  const stride = columns + 1;
  const sums = new Int32Array(stride * (rows + 1));
  for (let row = 0; row < rows; row++) {
    let along = 0;
    for (let column = 0; column < columns; column++) {
      along += data[row * columns + column];
      sums[(row + 1) * stride + column + 1] = sums[row * stride + column + 1] + along;
    }
  }
  return sums;
}
