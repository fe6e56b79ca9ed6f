import { curvatureAt, cubicOf, pointAt } from '../geometry/cubic.js';
import { outlineOfCurves, writeLine, type OutlineCurve } from '../geometry/outline.js';
import { pointToSegment } from '../geometry/segment.js';
import { turnSlack } from '../geometry/tight-turns.js';
import type { Outline, Point } from '../geometry/shape.js';
import { subCurve } from '../geometry/sub-curve.js';

/** A piece of an outline on its way round. */
interface Piece extends OutlineCurve {
  /** It bends more tightly than the tip can follow. */
  readonly tight: boolean;
  /** Which way, if it is: 1 or -1. */
  readonly way: number;
}

/** A place on an outline, and which way it runs there. */
interface Pose extends Point {
  readonly dx: number;
  readonly dy: number;
}

/** Looks along a curve for where it is tight. */
const LOOKS = 64;
/** What bends nearly too tightly goes with what does, as a share of the limit: a part of a curve is looked at anew. */
const ALREADY = 0.97;
/** A piece between two tight ones that is shorter, in mm, goes with them. */
const SHORT_MM = 0.25;
/** How far a corner may stand off the round that it is in place of, in mm: not seen on a letter. */
const MOST_OFF_MM = 0.18;
/** Corners at most in place of one turn; the end of a stroke has two or three. */
const MOST_CORNERS = 5;
/** A round of a larger radius, in mm, is a bowl: with so few corners it would look like a polygon. By eye. */
const LARGEST_ROUND_MM = 1;
/** A turn that is less than this, in radians, is no corner. */
const LEAST_TURN = 0.2;

/**
 * Gives the small rounds of a letter corners, where a tip can't follow them: the end of a stroke becomes as square as it
 * may, with as few corners as stay near it. A tip stops and turns there anyway, once at each.
 */
export function squaredTurns(outline: Outline, tightestMm: number): Outline {
  if (tightestMm === 0) return outline;
  const pieces = joinedTight(piecesOf(outline, 1 / (turnSlack * tightestMm)));
  const first = pieces.findIndex(({ tight, corner }) => !tight || corner);
  if (first < 0 || !pieces.some(({ tight }) => tight)) return outline;
  const turned = [...pieces.slice(first), ...pieces.slice(0, first)];
  const made: Piece[] = [];
  for (let i = 0; i < turned.length;) {
    let end = i + 1;
    if (turned[i].tight) while (end < turned.length && goesOn(turned[i], turned[end])) end++;
    made.push(...(turned[i].tight ? squared(turned.slice(i, end)) : turned.slice(i, end)));
    i = end;
  }
  return outlineOfPieces(withoutJoints(made));
}

/** Whether a tight piece goes on in another one: the same way round, without a corner between them. */
const goesOn = ({ way }: Piece, next: Piece): boolean =>
  next.tight && !next.corner && next.way === way;

/** The outline's curves, parted where they begin and end to be tight. */
function piecesOf(outline: Outline, most: number): Piece[] {
  return Array.from(outline.straight, (flag, i): Piece[] => {
    const cubic = cubicOf(outline, i);
    const corner = outline.corner[i] === 1;
    if (flag === 1) return [{ cubic, straight: true, corner, tight: false, way: 0 }];
    const wayAt = (k: number): number => {
      const bends = [k, k + 0.5, k + 1].map((at) => curvatureAt(cubic, at / LOOKS));
      return Math.sign(bends.find((bend) => Math.abs(bend) > ALREADY * most) ?? 0);
    };
    const made: Piece[] = [];
    for (let k = 0; k < LOOKS;) {
      let end = k + 1;
      const way = wayAt(k);
      while (end < LOOKS && wayAt(end) === way) end++;
      const part = k === 0 && end === LOOKS ? cubic : subCurve(cubic, k / LOOKS, end / LOOKS);
      made.push({ cubic: part, straight: false, corner: corner && k === 0, tight: way !== 0, way });
      k = end;
    }
    return made;
  }).flat();
}

/** Short pieces between tight ones are tight, too. */
function joinedTight(pieces: readonly Piece[]): Piece[] {
  const n = pieces.length;
  return pieces.map((piece, i) => {
    const next = pieces[(i + 1) % n];
    const last = pieces[(i + n - 1) % n];
    const isBetween = last.tight && !piece.tight && !piece.corner && goesOn(last, next);
    return isBetween && chordLength(piece) < SHORT_MM
      ? { ...piece, tight: true, way: last.way }
      : piece;
  });
}

function chordLength({ cubic }: Piece): number {
  return Math.hypot(cubic[6] - cubic[0], cubic[7] - cubic[1]);
}

/** A run of tight pieces as straight sides with corners between; the run itself where that would stand off too far. */
function squared(run: readonly Piece[]): readonly Piece[] {
  const poses = run.flatMap(({ cubic }, k) => posesOf(cubic, k === 0));
  const turns = turnsOf(poses);
  const whole = turns.at(-1)!;
  const length = run.reduce((sum, piece) => sum + chordLength(piece), 0);
  if (Math.abs(whole) < LEAST_TURN || length > LARGEST_ROUND_MM * Math.abs(whole)) return run;
  for (let count = 1; count <= MOST_CORNERS; count++) {
    const corners = cornersFor(poses, turns, whole, count);
    if (!corners) continue;
    const points = [poses[0], ...corners, poses.at(-1)!];
    if (staysNear(poses, points)) {
      return points.slice(1).map((to, k) => ({
        cubic: lineFrom(points[k], to),
        straight: true,
        corner: k > 0 || run[0].corner,
        tight: false,
        way: 0,
      }));
    }
  }
  return run;
}

/** Looks along a tight piece. */
const POSES = 12;
/** How far along a curve's parameter its direction is taken over. */
const BESIDE = 1e-3;

function posesOf(cubic: Float64Array, isFirst: boolean): Pose[] {
  return Array.from({ length: POSES + 1 }, (_, k) => k / POSES)
    .slice(isFirst ? 0 : 1)
    .map((t) => {
      const [x, y] = pointAt(cubic, t);
      const [ax, ay] = pointAt(cubic, Math.max(0, t - BESIDE));
      const [bx, by] = pointAt(cubic, Math.min(1, t + BESIDE));
      const length = Math.hypot(bx - ax, by - ay) || 1;
      return { x, y, dx: (bx - ax) / length, dy: (by - ay) / length };
    });
}

/** By pose: by how much it has turned since the first, in radians. */
function turnsOf(poses: readonly Pose[]): number[] {
  let turn = 0;
  return poses.map((pose, i) => {
    if (i > 0) {
      const { dx, dy } = poses[i - 1];
      turn += Math.atan2(dx * pose.dy - dy * pose.dx, dx * pose.dx + dy * pose.dy);
    }
    return turn;
  });
}

/** The corners of the sides that touch the run where it has turned by equal steps. */
function cornersFor(
  poses: readonly Pose[],
  turns: readonly number[],
  whole: number,
  count: number,
): Point[] | undefined {
  const touching = Array.from({ length: count + 1 }, (_, j) => {
    if (j === 0) return poses[0];
    if (j === count) return poses.at(-1)!;
    const wanted = (whole * j) / count;
    return poses.reduce((best, pose, i) =>
      Math.abs(turns[i] - wanted) < Math.abs(turns[poses.indexOf(best)] - wanted) ? pose : best,
    );
  });
  const corners: Point[] = [];
  for (let j = 0; j < count; j++) {
    const [a, b] = [touching[j], touching[j + 1]];
    const cross = a.dx * b.dy - a.dy * b.dx;
    const along = ((b.x - a.x) * b.dy - (b.y - a.y) * b.dx) / cross;
    const back = ((b.x - a.x) * a.dy - (b.y - a.y) * a.dx) / cross;
    // The sides meet ahead of the one and behind the other, or not at all.
    if (!(along >= 0) || !(back <= 0)) return undefined;
    corners.push({ x: a.x + along * a.dx, y: a.y + along * a.dy });
  }
  return corners;
}

/** Whether sides stand off a run nowhere too far, nor the run off them (the Hausdorff distance). */
function staysNear(poses: readonly Pose[], points: readonly Point[]): boolean {
  const offRun = ({ x, y }: Point): number =>
    Math.min(...poses.map((pose) => Math.hypot(pose.x - x, pose.y - y)));
  const offSides = (pose: Pose): number =>
    Math.min(...points.slice(1).map((to, k) => pointToSegment(pose, points[k], to)));
  return Math.max(...points.map(offRun), ...poses.map(offSides)) <= MOST_OFF_MM;
}

function lineFrom(from: Point, to: Point): Float64Array {
  const line = new Float64Array(8);
  writeLine(line, 0, from, to);
  line.set([to.x, to.y], 6);
  return line;
}

/** A bend that is less, in radians, is none. */
const STRAIGHT_ON = 0.01;

/** Straight sides that go straight on are one. */
function withoutJoints(pieces: readonly Piece[]): Piece[] {
  const made: Piece[] = [];
  for (const piece of pieces) {
    if (piece.straight && chordLength(piece) < BESIDE) {
      if (made.length > 0) continue;
    }
    const last = made.at(-1);
    if (last?.straight && piece.straight && !piece.corner && isOneLine(last, piece)) {
      const [from, to] = [
        { x: last.cubic[0], y: last.cubic[1] },
        { x: piece.cubic[6], y: piece.cubic[7] },
      ];
      made[made.length - 1] = { ...last, cubic: lineFrom(from, to) };
    } else {
      made.push(piece);
    }
  }
  return made;
}

function isOneLine({ cubic: a }: Piece, { cubic: b }: Piece): boolean {
  const [ax, ay, bx, by] = [a[6] - a[0], a[7] - a[1], b[6] - b[0], b[7] - b[1]];
  return Math.abs(Math.atan2(ax * by - ay * bx, ax * bx + ay * by)) < STRAIGHT_ON;
}

/** The outline that pieces make; a straight one runs to where the next one starts, which may have moved. */
function outlineOfPieces(pieces: readonly Piece[]): Outline {
  const outline = outlineOfCurves(pieces);
  const { coords } = outline;
  pieces.forEach(({ straight }, i) => {
    if (!straight) return;
    const [from, to] = [6 * i, (6 * (i + 1)) % coords.length];
    const end = { x: coords[to], y: coords[to + 1] };
    writeLine(coords, from, { x: coords[from], y: coords[from + 1] }, end);
  });
  return outline;
}
