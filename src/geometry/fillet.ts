import { cubicOf, lineCubic, pointAt } from './cubic.js';
import { turnedBack, outlineOfCurves } from './outline.js';
import type { Outline } from './shape.js';
import { subCurve } from './sub-curve.js';

/** How sharp corners are taken off, in mm. */
export interface Rounding {
  /** Radii of arcs, in the order in which they are tried. */
  readonly radii: readonly number[];
  /** How far from the corner a straight cut is made where no arc has room; 0 for none. */
  readonly chamferMm: number;
  /** Whether an opening is wide enough from a place on the way, in mm, straight into it. */
  readonly isWide: (x: number, y: number, dx: number, dy: number) => boolean;
}

/** A curve of an outline that is being changed. */
interface EditedCurve {
  cubic: Float64Array;
  straight: boolean;
  corner: boolean;
  /** Its corners are to be rounded. */
  readonly side: boolean;
}

/**
 * Rounds the corners at both ends of straight sides, where the outline turns towards the inside of its opening: an
 * arc that runs smoothly into the side and into the curve before or after it; a straight cut where there is no room.
 * What lies inside the corner goes to the film.
 *
 * @param sides one byte a curve: 1 where the curve is a straight side whose corners are to be rounded
 */
export function filletSides(outline: Outline, sides: Uint8Array, rounding: Rounding): Outline {
  const pieces = Array.from(sides, (side, i) => ({
    cubic: cubicOf(outline, i),
    straight: outline.straight[i] === 1,
    corner: outline.corner[i] === 1,
    side: side === 1,
  }));
  const starts = roundStarts(pieces, 1, rounding);
  const both = backward(roundStarts(backward(starts), -1, rounding));
  return both.length < 2 ? outline : outlineOfCurves(both);
}

function backward(pieces: readonly EditedCurve[]): EditedCurve[] {
  const back = turnedBack(outlineOfCurves(pieces));
  const n = pieces.length;
  return pieces.map((_, i) => ({
    cubic: cubicOf(back, i),
    straight: back.straight[i] === 1,
    corner: back.corner[i] === 1,
    side: pieces[n - 1 - i].side,
  }));
}

/** Rounds the corners at which the sides start. `inward` is 1 where the opening lies to the left, -1 to the right. */
function roundStarts(
  pieces: readonly EditedCurve[],
  inward: 1 | -1,
  rounding: Rounding,
): EditedCurve[] {
  const ring: EditedCurve[] = pieces.map((piece) => ({ ...piece }));
  for (const side of ring.filter((piece) => piece.side && piece.corner)) {
    const cut = roundedStart(ring, side, inward, rounding);
    if (!cut) continue;
    const at = ring.indexOf(side);
    const before = curvesAfter(ring, at, cut.passed);
    const [last] = before.slice(-1);
    last.cubic = subCurve(last.cubic, 0, cut.t);
    side.cubic = lineCubic(cut.bridge[6], cut.bridge[7], side.cubic[6], side.cubic[7]);
    side.corner = cut.straight;
    before.push({ cubic: cut.bridge, straight: cut.straight, corner: cut.straight, side: false });
    ring.splice(0, ring.length, side, ...before);
  }
  return ring;
}

/** The pieces after a side, round to the one before it, less so many that the cut has passed. */
function curvesAfter(ring: readonly EditedCurve[], at: number, passed: number): EditedCurve[] {
  const rest = [...ring.slice(at + 1), ...ring.slice(0, at)];
  return rest.slice(0, rest.length - passed);
}

/** A corner that was taken off: what takes its place, and from where. */
interface CutOff {
  /** So many pieces before the side fall away whole. */
  readonly passed: number;
  /** Where on the next one before them the cut starts. */
  readonly t: number;
  readonly bridge: Float64Array;
  readonly straight: boolean;
}

/** Beyond this turn, in radians (150°), a corner is a point. */
const SHARPEST = (150 * Math.PI) / 180;
/** One cubic curve draws an arc well up to so much, in radians (110°). */
const WIDEST_ARC = (110 * Math.PI) / 180;
/** A turn of less, in radians (15°), is none to speak of: an arc there would not be seen. */
const SLIGHTEST = (15 * Math.PI) / 180;
/** The share of a side that one of its two corners may take. */
const SHARE = 0.49;
/** A straight cut may take less of it than an arc: between the cuts at both its ends a third of a side is left. */
const CHAMFER_SHARE = SHARE * 0.7;

function roundedStart(
  ring: readonly EditedCurve[],
  side: EditedCurve,
  inward: 1 | -1,
  { radii, chamferMm, isWide }: Rounding,
): CutOff | undefined {
  const [x, y] = side.cubic;
  const length = Math.hypot(side.cubic[6] - x, side.cubic[7] - y);
  const ux = (side.cubic[6] - x) / length;
  const uy = (side.cubic[7] - y) / length;
  const corner: CornerAt = { x, y, ux, uy, length, inward };
  const before = curvesAfter(ring, ring.indexOf(side), 0).reverse();
  const turn = before.length === 0 ? 0 : turnAtEnd(before[0], corner);
  if (turn < SLIGHTEST || turn > SHARPEST) return undefined;
  for (const radius of radii) {
    const arc = arcInto(before, corner, radius);
    if (arc && leavesRoom(arc, inward, isWide)) return arc;
  }
  const cut = chamfer(before, corner, Math.min(chamferMm, CHAMFER_SHARE * length));
  return cut && leavesRoom(cut, inward, isWide) ? cut : undefined;
}

/** Where on an arc its room is looked at, as parameters: at the middle, and near its ends, which lie on the outline. */
const ROOM_LOOKS = [0.2, 0.5, 0.8];

function leavesRoom({ bridge }: CutOff, inward: 1 | -1, isWide: Rounding['isWide']): boolean {
  return ROOM_LOOKS.every((t) => {
    const [x, y] = pointAt(bridge, t);
    const [dx, dy] = directionAt(bridge, t);
    return isWide(x, y, -inward * dy, inward * dx);
  });
}

/** The start of a side: where, which way the side goes and how far, and on which hand the opening lies. */
interface CornerAt {
  readonly x: number;
  readonly y: number;
  readonly ux: number;
  readonly uy: number;
  readonly length: number;
  readonly inward: 1 | -1;
}

/** The angle by which the outline turns towards its opening, in radians; negative where it turns away. */
function turnAtEnd({ cubic }: EditedCurve, { ux, uy, inward }: CornerAt): number {
  const [dx, dy] = directionAt(cubic, 1);
  return inward * Math.atan2(dx * uy - dy * ux, dx * ux + dy * uy);
}

/** So far to both sides along the parameter a direction is taken: a chord long against rounding, short against any bend. */
const BESIDE = 0.001;

/** The unit direction of a curve at a parameter; that of a chord where its controls coincide. */
function directionAt(cubic: Float64Array, t: number): readonly [number, number] {
  const low = Math.max(0, t - BESIDE);
  const high = Math.min(1, t + BESIDE);
  const [ax, ay] = pointAt(cubic, low);
  const [bx, by] = pointAt(cubic, high);
  const length = Math.hypot(bx - ax, by - ay) || 1;
  return [(bx - ax) / length, (by - ay) / length];
}

/**
 * Looks along each curve, and halvings between two of them: on any curve of a sheet that is under a millionth of a mm.
 */
const LOOKS = 12;
const HALVINGS = 24;
/** A cut that begins before this parameter of a curve would leave a sliver of it: there is none then. */
const LEAST_LEFT = 0.02;

/**
 * How far beyond the corner, as a share of the radius, the curve before it is looked along: the widest arc between
 * straight sides begins at 1.4 of it (tan 55°), beside a curve about twice as far off.
 */
const FARTHEST = 3;

/** The arc that touches the curves before the corner and the side. */
function arcInto(
  before: readonly EditedCurve[],
  corner: CornerAt,
  radius: number,
): CutOff | undefined {
  // Where the middle of the circle, a radius off the curve, is a radius off the side as well.
  const off = (piece: EditedCurve, t: number): number => {
    const [mx, my] = middle(piece.cubic, t, radius, corner.inward);
    return corner.inward * (corner.ux * (my - corner.y) - corner.uy * (mx - corner.x)) - radius;
  };
  const found = walkBack(before, corner, FARTHEST * radius, (piece, t) => off(piece, t) >= 0);
  if (!found) return undefined;
  const piece = before[found.passed];
  const [mx, my] = middle(piece.cubic, found.t, radius, corner.inward);
  const along = (mx - corner.x) * corner.ux + (my - corner.y) * corner.uy;
  if (along <= 0 || along > SHARE * corner.length) return undefined;
  const start = pointAt(piece.cubic, found.t);
  const direction = directionAt(piece.cubic, found.t);
  const end = [corner.x + along * corner.ux, corner.y + along * corner.uy] as const;
  const sweep = Math.acos(
    Math.max(-1, Math.min(1, direction[0] * corner.ux + direction[1] * corner.uy)),
  );
  if (sweep > WIDEST_ARC) return undefined;
  const handle = (4 / 3) * Math.tan(sweep / 4) * radius;
  return {
    passed: found.passed,
    t: found.t,
    straight: false,
    bridge: Float64Array.of(
      ...start,
      start[0] + handle * direction[0],
      start[1] + handle * direction[1],
      end[0] - handle * corner.ux,
      end[1] - handle * corner.uy,
      ...end,
    ),
  };
}

/** The middle of the circle that touches a curve on the opening's side. */
function middle(
  cubic: Float64Array,
  t: number,
  radius: number,
  inward: 1 | -1,
): readonly [number, number] {
  const [x, y] = pointAt(cubic, t);
  const [dx, dy] = directionAt(cubic, t);
  return [x - inward * radius * dy, y + inward * radius * dx];
}

/** A straight cut from so far before the corner to so far behind it. */
function chamfer(before: readonly EditedCurve[], corner: CornerAt, mm: number): CutOff | undefined {
  if (mm < LEAST_CHAMFER_MM) return undefined;
  const away = (piece: EditedCurve, t: number): boolean => {
    const [x, y] = pointAt(piece.cubic, t);
    return Math.hypot(x - corner.x, y - corner.y) >= mm;
  };
  const found = walkBack(before, corner, 2 * mm, away);
  if (!found) return undefined;
  const [x, y] = pointAt(before[found.passed].cubic, found.t);
  return {
    ...found,
    straight: true,
    bridge: lineCubic(x, y, corner.x + mm * corner.ux, corner.y + mm * corner.uy),
  };
}

/** A shorter straight cut, in mm, is not seen beside the width of the tip. Common practice, from memory, no source. */
const LEAST_CHAMFER_MM = 0.25;

/** The first place, going back from the corner, at which something holds; none beyond another corner. */
function walkBack(
  before: readonly EditedCurve[],
  { x, y }: CornerAt,
  farthestMm: number,
  holds: (piece: EditedCurve, t: number) => boolean,
): { readonly passed: number; readonly t: number } | undefined {
  for (const [passed, piece] of before.entries()) {
    let high = 1;
    for (let look = 1; look <= LOOKS; look++) {
      let low = 1 - look / LOOKS;
      if (!holds(piece, low)) {
        high = low;
        continue;
      }
      for (let k = 0; k < HALVINGS; k++) {
        const mid = (low + high) / 2;
        if (holds(piece, mid)) low = mid;
        else high = mid;
      }
      return low > LEAST_LEFT ? { passed, t: low } : undefined;
    }
    const [sx, sy] = pointAt(piece.cubic, 0);
    if (piece.corner || piece.side || Math.hypot(sx - x, sy - y) > farthestMm) return undefined;
  }
  return undefined;
}
