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
/** … and so many where an edge of the letter goes on: what it takes of a stem is not seen. By eye. */
const LARGEST_ON = 2;
/** What has no root is cut off where it is so many times the least width of an opening. */
const TIP_SHARE = 0.5;
/** A ledge beside a stem is no wider than so many times the least width of an opening, and its corner no blunter, in radians. */
const LEDGE_SHARE = 0.25;
const LEDGE = (120 / 180) * Math.PI;
/** An edge that leans less from a strip's side, in radians, runs along it. */
const ALONG = (12 / 180) * Math.PI;
/** Where it meets that side only beyond its end, it goes to so much of its length. */
const TO_THE_END = 0.98;

/**
 * Takes off the spurs that strips leave: what is left of a bowl beside a stem, sharp and thinner than an opening may be.
 * Each is cut off at its root: as the edge that leads there goes on, so that a stem beside a bowl has no ledge; and square to
 * the strip where that would take too much.
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
    if (!isAlong || !isOutward(last, tip, next, turn)) continue;
    const found = cutsAt(points, i, turn, opening);
    const cut = found.find(({ foot, root, points: left, most }) => {
      const gone = [foot, root, ...rotated(points, i + count - left, left + 1)];
      return Math.abs(area(gone)) <= most * opening ** 2;
    });
    if (!cut) continue;
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

/** Whether a corner is one of the ink's, as sharp as that of a ledge or a spur. */
function isOutward(last: Point, tip: Point, next: Point, turn: number): boolean {
  return angleBetween(tip, last, next) < LEDGE && turn * turnAt(last, tip, next) > 0;
}

/** A cut that takes off a spur: how many points go before the one where its strip's side begins, and the new ones. */
interface SpurCut {
  readonly points: number;
  readonly root: Point;
  readonly foot: Point;
  /** How large what it takes off may be, in squares of the least width of an opening. */
  readonly most: number;
}

/** Where a spur or a ledge whose strip's side begins at a point may be cut off, the best first. */
function cutsAt(
  points: readonly Point[],
  i: number,
  turn: number,
  opening: number,
): readonly SpurCut[] {
  const count = points.length;
  const [tip, next] = [points[i], points[(i + 1) % count]];
  const length = Math.hypot(next.x - tip.x, next.y - tip.y);
  const way = { x: (next.x - tip.x) / length, y: (next.y - tip.y) / length };
  const angle = angleBetween(tip, points[(i + count - 1) % count], next);
  const isNeedle = angle < NEEDLE;
  const along = ({ x, y }: Point): number => (x - tip.x) * way.x + (y - tip.y) * way.y;
  const off = ({ x, y }: Point): number => Math.abs((x - tip.x) * way.y - (y - tip.y) * way.x);
  const foot = (at: Point): Point | undefined => {
    const on = along(at);
    return on > 0 && on < length ? { x: tip.x + on * way.x, y: tip.y + on * way.y } : undefined;
  };
  let trimmed: readonly SpurCut[] = [];
  for (let k = 1; k < count - 2; k++) {
    const at = points[(i + count - k) % count];
    const [before, after] = [
      points[(i + 2 * count - k - 1) % count],
      points[(i + count - k + 1) % count],
    ];
    if (off(at) > opening || along(at) < 0) break;
    const ended = foot(at);
    if (!ended) break;
    if (trimmed.length === 0 && isNeedle && off(at) >= TIP_SHARE * opening)
      trimmed = [{ points: k, root: at, foot: ended, most: LARGEST }];
    if (turn * turnAt(before, at, after) >= -ROOT) continue;
    const on = goesOnTo(before, at, tip, next);
    const cuts = on ? [{ points: k, root: at, foot: on, most: LARGEST_ON }] : [];
    if (angle < SPUR) return [...cuts, { points: k, root: at, foot: ended, most: LARGEST }];
    return off(at) <= LEDGE_SHARE * opening ? cuts : [];
  }
  return angle < SPUR ? trimmed : [];
}

/** Where an edge, as it goes on, meets a strip's side; undefined where it leads away from it, or back. */
function goesOnTo(before: Point, root: Point, tip: Point, next: Point): Point | undefined {
  const [dx, dy] = [next.x - tip.x, next.y - tip.y];
  const [ex, ey] = [root.x - before.x, root.y - before.y];
  const lean = Math.atan2(ex * dy - ey * dx, ex * dx + ey * dy);
  const aside = (root.x - tip.x) * dy - (root.y - tip.y) * dx;
  if (Math.abs(lean) > Math.PI / 4) return undefined;
  const isTowards = Math.sign(lean) !== Math.sign(aside);
  if (!isTowards && Math.abs(lean) > ALONG) return undefined;
  const on = ((root.x - tip.x) * dx + (root.y - tip.y) * dy) / (dx * dx + dy * dy);
  const further = isTowards ? -aside / ((ex * dy - ey * dx) / (ex * dx + ey * dy)) : Infinity;
  const share = Math.min(TO_THE_END, on + further / (dx * dx + dy * dy));
  return share > on ? { x: tip.x + share * dx, y: tip.y + share * dy } : undefined;
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
