import { cubicOf, curvatureAt, pointAt } from './cubic.js';
import { outlineOfCurves, writeLine, type OutlineCurve } from './outline.js';
import { pointToSegment } from './segment.js';
import type { Outline } from './shape.js';
import { subCurve } from './sub-curve.js';

/** Turns are measured at even parameters, not at their very tightest: this share of the radius is let through. */
export const turnSlack = 0.9;

/**
 * Looks along a curve, at even parameters, that the check takes: between two of them a cubic of a fitted outline bends
 * hardly more, and `turnSlack` is for that.
 */
export const samplesPerCurve = 16;

/** A kink that a hand does not notice, in radians (10°). */
export const mostKink = (10 * Math.PI) / 180;

/** So far from a joint, along the parameters of its curves, its turn is measured: short against any bend of theirs. */
const BESIDE = 0.001;

/** The angle, in radians, by which an outline turns at the start of its curve i. */
export function turnInto(outline: Outline, i: number): number {
  const curves = outline.straight.length;
  const before = cubicOf(outline, (i + curves - 1) % curves);
  const here = cubicOf(outline, i);
  const end = pointAt(before, 1 - BESIDE);
  const start = pointAt(here, BESIDE);
  const [x, y] = here;
  const [ax, ay] = [x - end[0], y - end[1]];
  const [bx, by] = [start[0] - x, start[1] - y];
  return Math.abs(Math.atan2(ax * by - ay * bx, ax * bx + ay * by));
}

/** Looks along a curve: several times as many as the check takes, and those among them. */
const LOOKS = 4 * samplesPerCurve;
/** So often what is left beside a tight turn is looked at again before it is given up to straight cuts. */
const MOST_LOOKS_AGAIN = 8;
/** What is left of a curve beside a tight turn is not worth a curve of its own, in mm. */
const SHORTEST_MM = 0.2;
/** How far straight cuts stay from the curve that they stand for, in mm: not seen, with few cuts to a turn. */
const OFF_MM = 0.03;
/**
 * Halvings of a curve at most until cuts follow it: each brings them four times as near, so that this many are never
 * reached but by a degenerate curve.
 */
const MOST_HALVINGS = 12;

/** A curve, or a straight cut between two corners. */
type Piece = Pick<OutlineCurve, 'cubic' | 'straight'>;

/**
 * The last resort for turns that the tip can't follow: where a curve still bends more tightly than `tightestMm`, it
 * becomes short straight cuts between marked corners, and a kink between two curves becomes a marked corner. What is
 * left turns nowhere too tightly, whatever came before.
 *
 * @returns the same outline where nothing is too tight
 */
export function withTightTurnsMarked(outline: Outline, tightestMm: number): Outline {
  if (tightestMm === 0) return outline;
  const most = 1 / (turnSlack * tightestMm);
  const parts = Array.from(outline.straight, (straight, i): readonly Piece[] => {
    const cubic = cubicOf(outline, i);
    return straight === 1 ? [{ cubic, straight: true }] : broken(cubic, most, 0);
  });
  const isBroken = parts.map(
    ([first], i) => first.straight !== (outline.straight[i] === 1) || parts[i].length > 1,
  );
  if (!isBroken.includes(true)) return withKinksMarked(outline);
  const isCorner = (i: number, k: number): boolean =>
    k > 0 || isBroken[i] || isBroken.at(i - 1) === true || outline.corner[i] === 1;
  const curves = parts.flatMap((pieces, i) =>
    pieces.map((piece, k) => ({ ...piece, corner: isCorner(i, k) })),
  );
  return withKinksMarked(outlineOfCurves(curves));
}

function withKinksMarked(outline: Outline): Outline {
  const isKink = (flag: number, i: number): boolean =>
    flag === 0 && turnInto(outline, i) > mostKink;
  if (!outline.corner.some(isKink)) return outline;
  return { ...outline, corner: outline.corner.map((flag, i) => (isKink(flag, i) ? 1 : flag)) };
}

/** The number of the first look at which a curve bends too much; one more than there are where it never does. */
function firstTight(cubic: Float64Array, most: number): number {
  let look = 0;
  while (look <= LOOKS && Math.abs(curvatureAt(cubic, look / LOOKS)) <= most) look++;
  return look;
}

/** A curve; one that bends too much somewhere as what is left of it beside that place, and straight cuts there. */
function broken(cubic: Float64Array, most: number, again: number): Piece[] {
  const first = firstTight(cubic, most);
  if (first > LOOKS) return [{ cubic, straight: false }];
  if (again === MOST_LOOKS_AGAIN) return cuts(cubic, 0);
  let last = first;
  while (last < LOOKS && Math.abs(curvatureAt(cubic, (last + 1) / LOOKS)) > most) last++;
  const from = worthwhile(cubic, 0, (first - 1) / LOOKS) ? (first - 1) / LOOKS : 0;
  const to = worthwhile(cubic, (last + 1) / LOOKS, 1) ? (last + 1) / LOOKS : 1;
  return [
    ...(from > 0 ? broken(subCurve(cubic, 0, from), most, again + 1) : []),
    ...cuts(subCurve(cubic, from, to), 0),
    ...(to < 1 ? broken(subCurve(cubic, to, 1), most, again + 1) : []),
  ];
}

function worthwhile(cubic: Float64Array, from: number, to: number): boolean {
  if (from >= to) return false;
  const [ax, ay] = pointAt(cubic, from);
  const [bx, by] = pointAt(cubic, to);
  return Math.hypot(bx - ax, by - ay) >= SHORTEST_MM;
}

/** Straight cuts along a curve. A curve lies within the hull of its four points (Bézier's convex hull property). */
function cuts(cubic: Float64Array, halved: number): Piece[] {
  const [x0, y0, x1, y1, x2, y2, x3, y3] = cubic;
  const [a, b] = [
    { x: x0, y: y0 },
    { x: x3, y: y3 },
  ];
  const off = Math.max(
    pointToSegment({ x: x1, y: y1 }, a, b),
    pointToSegment({ x: x2, y: y2 }, a, b),
  );
  if (off > OFF_MM && halved < MOST_HALVINGS) {
    return [subCurve(cubic, 0, 0.5), subCurve(cubic, 0.5, 1)].flatMap((half) =>
      cuts(half, halved + 1),
    );
  }
  const line = new Float64Array(8);
  writeLine(line, 0, a, b);
  line.set([x3, y3], 6);
  return [{ cubic: line, straight: true }];
}
