import type { NarrowBranch } from './narrow-branches.js';
import { eightNeighbours, stepsInRing } from './neighbours.js';

/** A line that a hand would draw in one go, as places in its middle, in order. */
export interface Stroke {
  /** By place, in px: pixel centres are whole numbers. */
  readonly x: Float64Array;
  readonly y: Float64Array;
  /** By place: half the line's width, px. */
  readonly halfWidth: Float64Array;
  /** Whether the last place is followed by the first. */
  readonly isClosed: boolean;
}

/**
 * Centreline pixels this near to one where lines meet, in px, belong to the junction: nearer to it, thinning bends a
 * line towards the others.
 */
const JUNCTION_REACH = 2;
/** The direction in which a line runs into a junction is taken over so many px of it. */
const DIRECTION_REACH = 10;
/** Two lines are one beyond a junction when they turn by no more, in radians: 40 degrees, by eye. */
const STRAIGHT_ON = (40 * Math.PI) / 180;
/** The grid's steps are taken out of a line by the mean of so many pixels on either side. */
const SMOOTHED = 3;

/**
 * Gathers centreline pixels into strokes: where lines meet, a stroke goes on in the line that turns least.
 *
 * This "good continuation" is what map makers take a street for (Thomson & Richardson, "The 'good continuation'
 * principle of perceptual organization applied to the generalization of road networks", Proc. 19th International
 * Cartographic Conference, 1999).
 *
 * @param width of the raster, px
 * @param step from place to place, px
 */
export function strokesIn(
  branches: readonly NarrowBranch[],
  width: number,
  step: number,
): Stroke[] {
  const halfWidths = new Map<number, number>();
  for (const { pixels, halfWidths: halves } of branches) {
    pixels.forEach((i, k) => halfWidths.set(i, halves[k]));
  }
  const junctions = junctionsIn(halfWidths, width);
  const paths = pathsBetween(halfWidths, junctions.of, width);
  return joined(paths, junctions, width).map((line) => placed(line, halfWidths, width, step));
}

type Pixels = ReadonlyMap<number, number>;

/** Places where lines meet. */
interface Junctions {
  /** By pixel that belongs to one: its number. */
  readonly of: ReadonlyMap<number, number>;
  readonly count: number;
}

function junctionsIn(lines: Pixels, width: number): Junctions {
  const near = new Set<number>();
  for (const i of lines.keys()) {
    if (linesFrom(i, lines, width) < 3) continue;
    for (const j of pixelsWithin(i, JUNCTION_REACH, lines, width)) near.add(j);
  }
  const of = new Map<number, number>();
  let count = 0;
  for (const first of near) {
    if (of.has(first)) continue;
    for (const i of connected(first, near, width)) of.set(i, count);
    count++;
  }
  return { of, count };
}

/** How many lines leave a pixel: its neighbours, those that touch by a side counted once. */
function linesFrom(i: number, lines: Pixels, width: number): number {
  const round = stepsInRing(width).map((step) => i + step);
  let count = 0;
  round.forEach((j, k) => {
    if (lines.has(j) && !lines.has(round[(k + 7) % 8])) count++;
  });
  return count;
}

function pixelsWithin(i: number, reach: number, lines: Pixels, width: number): number[] {
  const found: number[] = [];
  for (let y = -reach; y <= reach; y++) {
    for (let x = -reach; x <= reach; x++) {
      const j = i + y * width + x;
      if (lines.has(j)) found.push(j);
    }
  }
  return found;
}

function connected(first: number, among: ReadonlySet<number>, width: number): number[] {
  const seen = new Set([first]);
  const found = [first];
  for (const i of found) {
    for (const j of eightNeighbours(i, width)) {
      if (!among.has(j) || seen.has(j)) continue;
      seen.add(j);
      found.push(j);
    }
  }
  return found;
}

/** A line without junctions, and the junctions at its ends; undefined where it just ends. */
interface Path {
  readonly pixels: readonly number[];
  readonly from: number | undefined;
  readonly to: number | undefined;
  readonly isClosed: boolean;
}

function pathsBetween(
  lines: Pixels,
  junctions: ReadonlyMap<number, number>,
  width: number,
): Path[] {
  const free = (i: number): boolean => lines.has(i) && !junctions.has(i);
  const seen = new Set<number>();
  const next = (i: number): number | undefined =>
    eightNeighbours(i, width).find((j) => free(j) && !seen.has(j));
  const walk = (from: number): number[] => {
    const way: number[] = [];
    for (let i = next(from); i !== undefined; i = next(i)) {
      seen.add(i);
      way.push(i);
    }
    return way;
  };
  const junctionAt = (i: number): number | undefined => {
    const j = eightNeighbours(i, width).find((one) => junctions.has(one));
    return j === undefined ? undefined : junctions.get(j);
  };
  const paths: Path[] = [];
  for (const first of lines.keys()) {
    if (!free(first) || seen.has(first)) continue;
    seen.add(first);
    const ahead = walk(first);
    const behind = walk(first);
    const pixels = [...behind.reverse(), first, ...ahead];
    const [start, end] = [pixels[0], pixels[pixels.length - 1]];
    const [from, to] = [junctionAt(start), junctionAt(end)];
    const isClosed =
      from === undefined &&
      to === undefined &&
      pixels.length > 2 * DIRECTION_REACH &&
      eightNeighbours(start, width).includes(end);
    paths.push({ pixels, from, to, isClosed });
  }
  return paths;
}

/** One end of a path at a junction. */
interface PathEnd {
  readonly path: number;
  readonly isStart: boolean;
  /** The direction in which the path leaves the junction, in radians. */
  readonly leaves: number;
}

function joined(
  paths: readonly Path[],
  { count }: Junctions,
  width: number,
): { pixels: number[]; isClosed: boolean }[] {
  const ends: PathEnd[][] = Array.from({ length: count }, () => []);
  paths.forEach(({ pixels, from, to }, path) => {
    if (from !== undefined)
      ends[from].push({ path, isStart: true, leaves: direction(pixels, width) });
    if (to !== undefined)
      ends[to].push({ path, isStart: false, leaves: direction([...pixels].reverse(), width) });
  });
  // By end of a path, twice its number and one more for its last pixel: the end that it goes on with.
  const goesOn = new Map<number, number>();
  for (const here of ends) {
    for (const [a, b] of straightPairs(here)) {
      const [one, other] = [endNumber(a), endNumber(b)];
      goesOn.set(one, other);
      goesOn.set(other, one);
    }
  }
  return chains(paths, goesOn);
}

const endNumber = ({ path, isStart }: PathEnd): number => 2 * path + (isStart ? 0 : 1);

function direction(pixels: readonly number[], width: number): number {
  const far = pixels[Math.min(DIRECTION_REACH, pixels.length - 1)];
  const [first] = pixels;
  return Math.atan2(
    Math.floor(far / width) - Math.floor(first / width),
    (far % width) - (first % width),
  );
}

/** The ends at a junction that go on in each other, the straightest first. */
function straightPairs(ends: readonly PathEnd[]): (readonly [PathEnd, PathEnd])[] {
  const pairs = ends.flatMap((a, k) =>
    ends.slice(k + 1).map((b) => {
      const between = Math.abs(a.leaves - b.leaves) % (2 * Math.PI);
      return { a, b, turn: Math.abs(Math.PI - between) };
    }),
  );
  pairs.sort((p, q) => p.turn - q.turn);
  const used = new Set<PathEnd>();
  return pairs.flatMap(({ a, b, turn }) => {
    // Where only two lines meet there is no junction, but a corner of the grid or of the line itself.
    if (turn > STRAIGHT_ON || used.has(a) || used.has(b)) return [];
    used.add(a);
    used.add(b);
    return [[a, b] as const];
  });
}

/** Paths strung together, each in one chain. */
function chains(
  paths: readonly Path[],
  goesOn: ReadonlyMap<number, number>,
): { pixels: number[]; isClosed: boolean }[] {
  const used = new Uint8Array(paths.length);
  const strung: { pixels: number[]; isClosed: boolean }[] = [];
  const string = (entered: number): void => {
    const first = entered;
    const pixels: number[] = [];
    let at: number | undefined = entered;
    while (at !== undefined && used[at >> 1] === 0) {
      const path: number = at >> 1;
      used[path] = 1;
      const isForward = (at & 1) === 0;
      const own = paths[path].pixels;
      for (const pixel of isForward ? own : own.toReversed()) pixels.push(pixel);
      at = goesOn.get(at ^ 1);
    }
    const isClosed =
      at === first ||
      (pixels.length === paths[first >> 1].pixels.length && paths[first >> 1].isClosed);
    strung.push({ pixels, isClosed });
  };
  // Chains with ends are begun there; what is left are rings.
  for (let end = 0; end < 2 * paths.length; end++) {
    if (used[end >> 1] === 0 && !goesOn.has(end)) string(end);
  }
  for (let path = 0; path < paths.length; path++) if (used[path] === 0) string(2 * path);
  return strung;
}

/** Sets places at even steps along a line of pixels, with the grid's own steps taken out. */
function placed(
  { pixels, isClosed }: { readonly pixels: readonly number[]; readonly isClosed: boolean },
  halfWidths: Pixels,
  width: number,
  step: number,
): Stroke {
  const line = smoothed(pixels, isClosed, halfWidths, width);
  const way = lengthsAlong(line, isClosed);
  const whole = way[way.length - 1];
  const count = Math.max(1, Math.round(whole / step));
  const [x, y, halfWidth] = [line.x, line.y, line.halfWidth].map((values) =>
    Float64Array.from({ length: count }, (_, k) => {
      const at = ((k + 0.5) * whole) / count;
      return valueAt(values, way, at);
    }),
  );
  return { x, y, halfWidth, isClosed };
}

function smoothed(
  pixels: readonly number[],
  isClosed: boolean,
  halfWidths: Pixels,
  width: number,
): Stroke {
  const n = pixels.length;
  const x = new Float64Array(n);
  const y = new Float64Array(n);
  const halfWidth = new Float64Array(n);
  for (let k = 0; k < n; k++) {
    // Towards an end of the line fewer pixels on both sides, so that it keeps its length.
    const reach = isClosed ? SMOOTHED : Math.min(SMOOTHED, k, n - 1 - k);
    for (let at = k - reach; at <= k + reach; at++) {
      const i = pixels[(at + n) % n];
      x[k] += (i % width) / (2 * reach + 1);
      y[k] += Math.floor(i / width) / (2 * reach + 1);
      halfWidth[k] += halfWidths.get(i)! / (2 * reach + 1);
    }
  }
  return { x, y, halfWidth, isClosed };
}

/** By pixel: how far it is along the line, px; of a closed one the first pixel comes once more at the end. */
function lengthsAlong({ x, y }: Stroke, isClosed: boolean): Float64Array {
  const n = x.length;
  const way = new Float64Array(n + (isClosed ? 1 : 0));
  for (let k = 1; k < way.length; k++) {
    way[k] = way[k - 1] + Math.hypot(x[k % n] - x[k - 1], y[k % n] - y[k - 1]);
  }
  return way;
}

function valueAt(values: Float64Array, way: Float64Array, at: number): number {
  let [low, high] = [0, way.length - 1];
  while (high - low > 1) {
    const middle = (low + high) >> 1;
    if (way[middle] <= at) low = middle;
    else high = middle;
  }
  const span = way[high] - way[low];
  const share = span > 0 ? (at - way[low]) / span : 0;
  const [before, after] = [values[low], values[high % values.length]];
  return before + share * (after - before);
}

/** Which side of a stroke: 1 lies to the right of the way from place to place on a sheet whose y goes down. */
export type StrokeSide = 1 | -1;

/** Places on either side that tell a stroke's direction at one. */
const AHEAD = 2;

/** The direction square to a stroke at a place, to one side, of length 1. */
export function normalAt(
  { x, y, isClosed }: Stroke,
  k: number,
  side: StrokeSide,
): readonly [number, number] {
  const n = x.length;
  const at = (j: number): number => (isClosed ? (j + n) % n : Math.min(n - 1, Math.max(0, j)));
  const [before, after] = [at(k - AHEAD), at(k + AHEAD)];
  const [dx, dy] = [x[after] - x[before], y[after] - y[before]];
  const length = Math.hypot(dx, dy) || 1;
  return [(-side * dy) / length, (side * dx) / length];
}
