import { pointToSegment } from '../../geometry/segment.js';
import { signedArea } from '../../geometry/signed-area.js';
import type { Point } from '../../geometry/shape.js';

/** How far off a strip's side a place may lie and be on it, in mm. */
const ON_SIDE_MM = 0.005;
/** A corner beside a strip that is sharper than this is a spur's tip, and where nothing ends it, sharper than that; in radians. */
const SPUR = (60 / 180) * Math.PI;
const NEEDLE = (40 / 180) * Math.PI;
/** Where the outline turns inwards by more, in radians, a spur has its root. */
const ROOT = (25 / 180) * Math.PI;
/** A spur takes so many squares of the least width of an opening at the most: more is a piece of the letter. */
const LARGEST = 0.8;
/** What has no root is cut off where it is so many times the least width of an opening. */
const TIP_SHARE = 0.5;

/**
 * Takes off the spurs that strips leave: what is left of a bowl beside a stem, sharp and thinner than an opening may be.
 * Each is cut off square to the strip, at its root.
 *
 * @param loop x, y pairs in mm; handed back as it is when it has no spurs
 * @param strips the four corners of each, its long sides first and third
 * @param opening the least width of an opening, in mm
 */
export function withoutSpurs(
  loop: Float64Array,
  strips: readonly Float64Array[],
  opening: number,
): Float64Array {
  const ahead = withoutSpursAhead(loop, strips, opening);
  const turned = backwards(ahead);
  const behind = withoutSpursAhead(turned, strips, opening);
  return behind === turned ? ahead : backwards(behind);
}

/** Takes off those that are met before the strip's side, on the loop's way. */
function withoutSpursAhead(
  loop: Float64Array,
  strips: readonly Float64Array[],
  opening: number,
): Float64Array {
  let points = pairs(loop);
  const turn = Math.sign(area(points));
  let isSame = true;
  for (let i = 0; i < points.length && points.length > 4; i++) {
    const count = points.length;
    const [tip, next, last] = [points[i], points[(i + 1) % count], points[(i + count - 1) % count]];
    const isAlong = strips.some((strip) => isOnOneSide(strip, tip, next));
    if (!isAlong || !isSpur(last, tip, next, turn)) continue;
    const cut = rootOf(points, i, turn, opening);
    if (!cut) continue;
    const gone = [cut.foot, cut.root, ...rotated(points, i + count - cut.points, cut.points + 1)];
    if (Math.abs(area(gone)) > LARGEST * opening ** 2) continue;
    isSame = false;
    points = [...rotated(points, i + 1, count - 1 - cut.points), cut.root, cut.foot];
    i = -1;
  }
  return isSame ? loop : Float64Array.from(points.flatMap(({ x, y }) => [x, y]));
}

/** So many points from one on. */
function rotated(points: readonly Point[], from: number, count: number): Point[] {
  return Array.from({ length: count }, (_, k) => points[(from + k) % points.length]);
}

function isSpur(last: Point, tip: Point, next: Point, turn: number): boolean {
  const angle = angleBetween(tip, last, next);
  return angle < SPUR && turn * turnAt(last, tip, next) > 0;
}

/** Where a spur whose strip's side begins at a point is cut off: how many points before that go, and the new ones. */
function rootOf(
  points: readonly Point[],
  i: number,
  turn: number,
  opening: number,
): { readonly points: number; readonly root: Point; readonly foot: Point } | undefined {
  const count = points.length;
  const [tip, next] = [points[i], points[(i + 1) % count]];
  const length = Math.hypot(next.x - tip.x, next.y - tip.y);
  const way = { x: (next.x - tip.x) / length, y: (next.y - tip.y) / length };
  const isNeedle = angleBetween(tip, points[(i + count - 1) % count], next) < NEEDLE;
  const along = ({ x, y }: Point): number => (x - tip.x) * way.x + (y - tip.y) * way.y;
  const off = ({ x, y }: Point): number => Math.abs((x - tip.x) * way.y - (y - tip.y) * way.x);
  const foot = (at: Point): Point | undefined => {
    const on = along(at);
    return on > 0 && on < length ? { x: tip.x + on * way.x, y: tip.y + on * way.y } : undefined;
  };
  let trimmed: ReturnType<typeof rootOf>;
  for (let k = 1; k < count - 2; k++) {
    const at = points[(i + count - k) % count];
    const [before, after] = [
      points[(i + 2 * count - k - 1) % count],
      points[(i + count - k + 1) % count],
    ];
    if (off(at) > opening || along(at) < 0) break;
    const ended = foot(at);
    if (!ended) break;
    if (!trimmed && isNeedle && off(at) >= TIP_SHARE * opening)
      trimmed = { points: k, root: at, foot: ended };
    if (turn * turnAt(before, at, after) < -ROOT) return { points: k, root: at, foot: ended };
  }
  return trimmed;
}

/** By how much a way turns at a point, in radians. */
function turnAt(before: Point, at: Point, after: Point): number {
  const [ax, ay, bx, by] = [at.x - before.x, at.y - before.y, after.x - at.x, after.y - at.y];
  return Math.atan2(ax * by - ay * bx, ax * bx + ay * by);
}

function angleBetween(at: Point, a: Point, b: Point): number {
  return Math.PI - Math.abs(turnAt(a, at, b));
}

function isOnOneSide(strip: Float64Array, a: Point, b: Point): boolean {
  const at = (i: number): Point => ({ x: strip[2 * i], y: strip[2 * i + 1] });
  const sides = [
    [at(0), at(1)],
    [at(3), at(2)],
  ] as const;
  return sides.some(
    ([from, to]) =>
      pointToSegment(a, from, to) < ON_SIDE_MM && pointToSegment(b, from, to) < ON_SIDE_MM,
  );
}

function area(points: readonly Point[]): number {
  return signedArea(Float64Array.from(points.flatMap(({ x, y }) => [x, y])));
}

function pairs(loop: Float64Array): Point[] {
  return Array.from({ length: loop.length / 2 }, (_, i) => ({
    x: loop[2 * i],
    y: loop[2 * i + 1],
  }));
}

function backwards(loop: Float64Array): Float64Array {
  const points = pairs(loop).toReversed();
  return Float64Array.from(points.flatMap(({ x, y }) => [x, y]));
}
