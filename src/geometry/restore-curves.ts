import { cubicOf, lineCubic, pointAt } from './cubic.js';
import { stepsFor } from './flatten.js';
import { gridKey, gridStepMm } from './boolean-operations.js';
import type { Outline } from './shape.js';
import { segmentIndex } from './segment-index.js';
import { nearestParameter, subCurve } from './sub-curve.js';

/** The polygon that follows an outline, and which of its points lies where on which curve. */
export interface TrackedPolygon {
  readonly outline: Outline;
  /** x, y pairs in mm. */
  readonly points: Float64Array;
  /** By curve: the number of its first point; one more at the end. */
  readonly firsts: Int32Array;
  /** By point: its curve. */
  readonly curves: Int32Array;
}

/** @param toleranceMm the largest distance between polygon and curve, for each curve */
export function flattenTracked(
  outline: Outline,
  toleranceMm: (curve: number) => number,
): TrackedPolygon {
  const { coords, straight } = outline;
  const firsts = new Int32Array(straight.length + 1);
  for (let i = 0; i < straight.length; i++) {
    firsts[i + 1] = firsts[i] + (straight[i] ? 1 : stepsFor(coords, i, toleranceMm(i)));
  }
  const count = firsts[straight.length];
  const points = new Float64Array(2 * count);
  const curves = new Int32Array(count);
  for (let i = 0; i < straight.length; i++) {
    const cubic = cubicOf(outline, i);
    const steps = firsts[i + 1] - firsts[i];
    for (let k = 0; k < steps; k++) {
      const at = firsts[i] + k;
      curves[at] = i;
      [points[2 * at], points[2 * at + 1]] = pointAt(cubic, k / steps);
    }
  }
  return { outline, points, firsts, curves };
}

/** A place on one of the polygons: `at` counts its points, with a fraction between two of them. */
interface PolygonPosition {
  readonly source: number;
  readonly at: number;
}

/** A corner of the loop: where it is, and where on a source if it lies on one. */
interface LoopCorner {
  readonly x: number;
  readonly y: number;
  readonly place: PolygonPosition | undefined;
}

/**
 * Gives curves back to what a polygon boolean made of followed outlines.
 *
 * Where a loop runs along a source its curves return: whole ones number for number, cut ones as the part between
 * the cuts. A loop that is all of one source gives that very outline. Everything else is a straight side between
 * marked corners.
 *
 * @returns for each loop its outline; undefined for a loop that has no extent
 */
export function curveRestorer(
  sources: readonly TrackedPolygon[],
): (loop: Float64Array) => Outline | undefined {
  const locate = locator(sources);
  return (loop) => {
    const corners = turnedAlong(loopCorners(loop, locate, sources), sources);
    const starts = runStarts(corners, sources);
    const whole = starts.length === 0 ? corners[0]?.place : undefined;
    if (whole) return sources[whole.source].outline;
    return assemble(corners, starts, sources);
  };
}

/**
 * Three steps of the polygon library's grid, in mm: the point of a cut and both ends of its side are each rounded to
 * it.
 */
const SNAP_MM = 3 * gridStepMm;

/** Finds the place of a loop's point: one of a polygon's own points, or one that a cut put on a side of it. */
function locator(
  sources: readonly TrackedPolygon[],
): (x: number, y: number) => PolygonPosition | undefined {
  const own = new Map<number, PolygonPosition>();
  sources.forEach(({ points }, source) => {
    for (let at = 0; 2 * at < points.length; at++) {
      own.set(gridKey(points[2 * at], points[2 * at + 1]), { source, at });
    }
  });
  const sides = segmentIndex(sources.map(({ points }) => points));
  return (x, y) => {
    const point = own.get(gridKey(x, y));
    if (point) return point;
    const side = sides.nearest({ x, y }, { x, y }, SNAP_MM);
    return side && { source: side.polygon, at: side.at };
  };
}

function loopCorners(
  loop: Float64Array,
  locate: (x: number, y: number) => PolygonPosition | undefined,
  sources: readonly TrackedPolygon[],
): LoopCorner[] {
  const corners: LoopCorner[] = [];
  for (let i = 0; i < loop.length; i += 2) {
    corners.push(cornerAtPosition(loop[i], loop[i + 1], locate(loop[i], loop[i + 1]), sources));
  }
  return corners;
}

/** Moves a point from the polygon onto the curve that the polygon follows. */
function cornerAtPosition(
  x: number,
  y: number,
  place: PolygonPosition | undefined,
  sources: readonly TrackedPolygon[],
): LoopCorner {
  if (!place) return { x, y, place };
  const { outline, firsts, curves } = sources[place.source];
  const sample = Math.floor(place.at);
  const curve = curves[sample];
  const first = firsts[curve];
  const steps = firsts[curve + 1] - first;
  const cubic = cubicOf(outline, curve);
  let t = (place.at - first) / steps;
  let at = place.at;
  if (sample !== place.at) {
    t = nearestParameter(cubic, x, y, t, (sample - first) / steps, (sample + 1 - first) / steps);
    at = (first + t * steps) % curves.length;
  }
  const [onX, onY] = pointAt(cubic, t);
  return { x: onX, y: onY, place: { source: place.source, at } };
}

/**
 * Points along a polygon are counted in whole numbers, and in fractions that rounding may take just over the next one.
 */
const EPSILON = 1e-9;

/**
 * How far the side from one corner to the next goes along a source, in points of it (-1 to 1); 0 when it does not.
 */
function advance(from: LoopCorner, to: LoopCorner, sources: readonly TrackedPolygon[]): number {
  const a = from.place;
  const b = to.place;
  if (!a || !b || a.source !== b.source) return 0;
  const count = sources[a.source].curves.length;
  let d = b.at - a.at;
  if (d > count / 2) d -= count;
  if (d < -count / 2) d += count;
  const low = d > 0 ? a.at : b.at;
  return low + Math.abs(d) <= Math.floor(low + EPSILON) + 1 + EPSILON ? d : 0;
}

/** Turns the loop so that it runs along its sources rather than against them. */
function turnedAlong(corners: LoopCorner[], sources: readonly TrackedPolygon[]): LoopCorner[] {
  let total = 0;
  corners.forEach((corner, i) => {
    total += advance(corner, corners[(i + 1) % corners.length], sources);
  });
  return total < 0 ? corners.toReversed() : corners;
}

/** The corners where the loop comes onto a source, leaves it or turns on it; none when it is one source. */
function runStarts(corners: readonly LoopCorner[], sources: readonly TrackedPolygon[]): number[] {
  const n = corners.length;
  const sign = corners.map((corner, i) =>
    Math.sign(advance(corner, corners[(i + 1) % n], sources)),
  );
  const starts: number[] = [];
  for (let i = 0; i < n; i++) {
    const before = sign[(i || n) - 1];
    if (sign[i] === 0 || sign[i] !== before) starts.push(i);
  }
  return starts;
}

/** A curve of the new outline; `end` is where the next one starts, or close to it. */
interface RestoredCurve {
  readonly cubic: Float64Array;
  readonly straight: boolean;
  readonly corner: boolean;
  /** A curve of a source, whole: its numbers stay as they are. */
  readonly whole: boolean;
}

function assemble(
  corners: readonly LoopCorner[],
  starts: readonly number[],
  sources: readonly TrackedPolygon[],
): Outline | undefined {
  const n = corners.length;
  const pieces: RestoredCurve[] = [];
  starts.forEach((start, k) => {
    const end = starts[(k + 1) % starts.length];
    const from = corners[start];
    const to = corners[end];
    const step = advance(from, corners[(start + 1) % n], sources);
    if (step === 0 || !from.place || !to.place) pieces.push(side(from, to));
    else if (step > 0)
      pieces.push(...along(sources[from.place.source], from.place.at, to.place.at));
    else pieces.push(...against(sources[from.place.source], from.place.at, to.place.at));
  });
  return closed(withoutGaps(straightened(withExtent(pieces))));
}

function side({ x, y }: LoopCorner, to: LoopCorner): RestoredCurve {
  return { cubic: lineCubic(x, y, to.x, to.y), straight: true, corner: true, whole: false };
}

function backward([ax, ay, bx, by, cx, cy, dx, dy]: Float64Array): Float64Array {
  return Float64Array.of(dx, dy, cx, cy, bx, by, ax, ay);
}

/** The curves of a source from one of its places on to another; the first starts with a corner, where a cut was. */
function along(
  { outline, firsts, curves }: TrackedPolygon,
  from: number,
  to: number,
): RestoredCurve[] {
  const pieces: RestoredCurve[] = [];
  const n = outline.straight.length;
  const last = curves[Math.floor(to)];
  let curve = curves[Math.floor(from)];
  let t0 = parameter(firsts, curve, from);
  for (let wrapped = from <= to; ; wrapped = true) {
    const ends = curve === last && wrapped;
    const t1 = ends ? parameter(firsts, curve, to) : 1;
    if (t1 > t0) {
      pieces.push({
        cubic: subCurve(cubicOf(outline, curve), t0, t1),
        straight: outline.straight[curve] === 1,
        corner: pieces.length === 0 || outline.corner[curve] === 1,
        whole: t0 === 0 && t1 === 1,
      });
    }
    if (ends) return pieces;
    curve = (curve + 1) % n;
    t0 = 0;
  }
}

function parameter(firsts: Int32Array, curve: number, at: number): number {
  return (at - firsts[curve]) / (firsts[curve + 1] - firsts[curve]);
}

/** The same the other way: from a place of the source back to an earlier one. */
function against(source: TrackedPolygon, from: number, to: number): RestoredCurve[] {
  const forward = along(source, to, from);
  return forward.toReversed().map((piece, i, turned) => ({
    ...piece,
    cubic: backward(piece.cubic),
    // A piece starts where it ended, so the mark is that of the piece that came after it.
    corner: i === 0 || turned[i - 1].corner,
  }));
}

/** What a cut leaves that is shorter than this, in mm, is left out: no tip follows it. */
const SHORTEST_MM = 0.01;

function hasExtent({ cubic, whole }: RestoredCurve): boolean {
  return whole || Math.hypot(cubic[6] - cubic[0], cubic[7] - cubic[1]) >= SHORTEST_MM;
}

/** The pieces that have extent; where one falls away that a corner stands before, the corner is the next one's. */
function withExtent(pieces: readonly RestoredCurve[]): RestoredCurve[] {
  const kept = pieces.filter(hasExtent);
  if (kept.length === pieces.length) return kept;
  return kept.map((piece) => {
    for (let i = pieces.indexOf(piece) - 1; ; i--) {
      const before = pieces.at(i % pieces.length) ?? piece;
      if (before === piece || hasExtent(before)) return piece;
      if (before.corner) return { ...piece, corner: true };
    }
  });
}

/** A point this near the line of its neighbours, in mm, lies on it: rounding to the grid moves none of them by a step. */
const IN_LINE_MM = gridStepMm * 5;

/** Joins straight sides that go on in one line, where the library left a point between. */
function straightened(pieces: readonly RestoredCurve[]): RestoredCurve[] {
  return pieces.filter((piece, i) => {
    const before = pieces[(i || pieces.length) - 1];
    if (!isSide(piece) || !isSide(before)) return true;
    const [ax, ay] = [before.cubic[0], before.cubic[1]];
    const [bx, by, cx, cy] = [piece.cubic[0], piece.cubic[1], piece.cubic[6], piece.cubic[7]];
    const length = Math.hypot(cx - ax, cy - ay);
    const off = Math.abs((bx - ax) * (cy - ay) - (by - ay) * (cx - ax));
    return off > IN_LINE_MM * length;
  });
}

function isSide({ straight, whole }: RestoredCurve): boolean {
  return straight && !whole;
}

/**
 * A curve whose end is moved to close a gap may bend by so much more, in 1/mm: a radius of 3 mm becomes one of 2.75 mm.
 */
const MORE_BENT = 0.03;

/**
 * Closes the gaps that pieces without extent have left. A long curve before one can reach over it; one so short that it
 * would bend more for that stays, and the straight side after the gap starts where it ends, or a short side is put there.
 */
function withoutGaps(pieces: readonly RestoredCurve[]): RestoredCurve[] {
  return pieces.flatMap((piece, i) => {
    const before = pieces.at(i - 1) ?? piece;
    const [x, y, , , , , endX, endY] = piece.cubic;
    if (isSide(before) || reachesTo(before.cubic, x, y)) return [piece];
    const [fromX, fromY] = before.cubic.subarray(6);
    if (isSide(piece)) return [{ ...piece, cubic: lineCubic(fromX, fromY, endX, endY) }];
    const short = lineCubic(fromX, fromY, x, y);
    return [{ cubic: short, straight: true, corner: true, whole: false }, piece];
  });
}

/** Whether a curve's end may be moved to a place: that changes its bend there by about 6 · moved / length². */
function reachesTo(
  [startX, startY, , , , , endX, endY]: Float64Array,
  x: number,
  y: number,
): boolean {
  const moved = Math.hypot(x - endX, y - endY);
  const length = Math.hypot(endX - startX, endY - startY);
  return 6 * moved <= MORE_BENT * length * length;
}

function closed(pieces: readonly RestoredCurve[]): Outline | undefined {
  const n = pieces.length;
  if (n < 2) return undefined;
  const coords = new Float64Array(6 * n);
  pieces.forEach((piece, i) => {
    const next = pieces[(i + 1) % n].cubic;
    const { cubic } = piece;
    const curve = isSide(piece) ? lineCubic(cubic[0], cubic[1], next[0], next[1]) : cubic;
    coords.set(curve.subarray(0, 6), 6 * i);
  });
  return {
    coords,
    straight: Uint8Array.from(pieces, ({ straight }) => (straight ? 1 : 0)),
    corner: Uint8Array.from(pieces, ({ corner }) => (corner ? 1 : 0)),
  };
}
