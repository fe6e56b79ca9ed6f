import { delaunayEdges } from '../../geometry/triangulation.js';
import type { Box } from '../../raster/raster.js';
import type { ErodedFilm } from './eroded-film.js';
import { openAlong, type LineSegment } from './lines.js';
import { edgesAlong, tiesOf, type CandidateEdge, type Tie, type TieLimits } from './tie.js';

/**
 * How far apart points are taken along the cores' edges, in mm: what is found is then shortened to the pixel, so that
 * nearer ones only take time.
 */
const SPACING_MM = 0.4;

/**
 * Between two cores so many places are tried, so many mm apart: the best ones close together, and some further off, in
 * case none of those fits.
 */
const BEST = { places: 10, apartMm: 1.2 };
const FURTHER = { places: 16, apartMm: 4 };

/**
 * The ties between cores that are worth weighing.
 *
 * The Delaunay triangulation of the points of all the cores' edges is connected and holds their Euclidean minimum
 * spanning tree (Shamos & Hoey 1975), so its edges between different cores, cut into stretches from core to core, always
 * suffice to join all of them.
 *
 * @param within the part of the sheet, in px, that is looked at
 * @param isWanted tells the stretches that are worth measuring
 */
export function candidateTies(
  film: ErodedFilm,
  limits: TieLimits,
  within: Box = { x: 0, y: 0, width: film.bitmap.width, height: film.bitmap.height },
  isWanted: (edge: CandidateEdge) => boolean = () => true,
): Tie[] {
  const { points, cores } = edgePoints(film, within);
  const edges = delaunayEdges(points);
  const lines = linesBetween(points, cores, edges);
  const tried = byPair(lines, (line) => openAlong(film, line)).flatMap((between) =>
    distinct(worthTrying(between, film).flatMap((line) => [line, shortened(film, line)])),
  );
  const wanted = tried.flatMap((line) => edgesAlong(film, line)).filter(isWanted);
  return tiesOf(film, wanted, limits);
}

/** Many lines are the same once they have been shortened. */
function distinct(lines: readonly LineSegment[]): LineSegment[] {
  return lines.filter((line, k) => lines.findIndex((other) => isSame(other, line)) === k);
}

function isSame(a: LineSegment, b: LineSegment): boolean {
  return a.x0 === b.x0 && a.y0 === b.y0 && a.x1 === b.x1 && a.y1 === b.y1;
}

/**
 * Pixel centres on the edges of the cores, in px, and the core of each: of each core one point a cell, or a few more in
 * cells that several cores share.
 */
function edgePoints(
  { bitmap: { width, height }, pixelsPerMm, cores }: ErodedFilm,
  within: Box,
): {
  readonly points: Float64Array;
  readonly cores: Int32Array;
} {
  const cell = Math.max(2, Math.round(SPACING_MM * pixelsPerMm));
  const [left, top] = [Math.max(1, within.x), Math.max(1, within.y)];
  const right = Math.min(width - 1, within.x + within.width);
  const bottom = Math.min(height - 1, within.y + within.height);
  const columns = Math.ceil(width / cell);
  const points: number[] = [];
  const coreOf: number[] = [];
  /** By cell of a row of cells, the core whose point was the last one taken there. */
  const taken = new Int32Array(columns);
  for (let y = top; y < bottom; y++) {
    if (y === top || y % cell === 0) taken.fill(0);
    for (let x = left; x < right; x++) {
      const i = y * width + x;
      const core = cores[i];
      if (core === 0) continue;
      if (cores[i - 1] && cores[i + 1] && cores[i - width] && cores[i + width]) continue;
      const at = Math.floor(x / cell);
      if (taken[at] === core) continue;
      taken[at] = core;
      points.push(x + 0.5, y + 0.5);
      coreOf.push(core);
    }
  }
  return { points: Float64Array.from(points), cores: Int32Array.from(coreOf) };
}

/** A line from the core of a lower number to one of a higher. */
interface Between extends LineSegment {
  readonly cores: readonly [number, number];
}

/** A line and how much of it, in px, lies in openings, each place as it matters. */
interface Crossing extends LineSegment {
  readonly open: number;
}

/** The edges of the triangulation that join two cores. */
function linesBetween(points: Float64Array, cores: Int32Array, edges: Uint32Array): Between[] {
  const lines: Between[] = [];
  for (let e = 0; e < edges.length; e += 2) {
    let a = edges[e];
    let b = edges[e + 1];
    if (cores[a] === cores[b]) continue;
    if (cores[a] > cores[b]) [a, b] = [b, a];
    const [x0, y0, x1, y1] = [points[2 * a], points[2 * a + 1], points[2 * b], points[2 * b + 1]];
    lines.push({ x0, y0, x1, y1, cores: [cores[a], cores[b]] });
  }
  return lines;
}

/** More than there can be cores on any raster: a pair of two has a number of its own, within a double's 53 bits. */
const MOST_CORES = 2 ** 26;

/** The lines of each two cores. */
function byPair(lines: readonly Between[], openOf: (line: LineSegment) => number): Crossing[][] {
  const pairs = new Map<number, Crossing[]>();
  for (const line of lines) {
    const { x0, y0, x1, y1 } = line;
    const [a, b] = line.cores;
    const key = a * MOST_CORES + b;
    const crossing = { x0, y0, x1, y1, open: openOf(line) };
    const known = pairs.get(key);
    if (known) known.push(crossing);
    else pairs.set(key, [crossing]);
  }
  return [...pairs.values()];
}

/** The lines of two cores that cross the least opening, as it matters, in different places. */
function worthTrying(lines: readonly Crossing[], film: ErodedFilm): LineSegment[] {
  const sorted = [...lines].sort((a, b) => a.open - b.open);
  const kept: LineSegment[] = [];
  for (const { places, apartMm } of [BEST, FURTHER]) {
    const apart = (apartMm * film.pixelsPerMm) ** 2;
    for (const line of sorted) {
      if (kept.length === places) break;
      if (kept.every((other) => squaredApart(line, other) >= apart)) kept.push(line);
    }
  }
  return kept;
}

/** How far the middles of two lines are from each other, squared. */
function squaredApart(a: LineSegment, b: LineSegment): number {
  const x = a.x0 + a.x1 - b.x0 - b.x1;
  const y = a.y0 + a.y1 - b.y0 - b.y1;
  return (x * x + y * y) / 4;
}

/** How far an end looks for a shorter way, in px: one more than the next pixel, to get over a notch in the edge. */
const REACH_PX = 2;

/** Lets both ends of a line creep along their cores, pixel by pixel, for as long as that makes it shorter. */
function shortened(
  { bitmap: { width, height }, cores }: ErodedFilm,
  line: LineSegment,
): LineSegment {
  let { x0, y0, x1, y1 } = line;
  const core0 = cores[Math.floor(y0) * width + Math.floor(x0)];
  const core1 = cores[Math.floor(y1) * width + Math.floor(x1)];
  const creep = (x: number, y: number, core: number | undefined, toX: number, toY: number) => {
    let best = [x, y] as const;
    let least = (x - toX) ** 2 + (y - toY) ** 2;
    for (let v = y - REACH_PX; v <= y + REACH_PX; v++) {
      for (let u = x - REACH_PX; u <= x + REACH_PX; u++) {
        const squared = (u - toX) ** 2 + (v - toY) ** 2;
        if (squared >= least || u < 0 || v < 0 || u >= width || v >= height) continue;
        if (cores[Math.floor(v) * width + Math.floor(u)] !== core) continue;
        least = squared;
        best = [u, v];
      }
    }
    return best;
  };
  for (;;) {
    const [nextX0, nextY0] = creep(x0, y0, core0, x1, y1);
    const [nextX1, nextY1] = creep(x1, y1, core1, nextX0, nextY0);
    if (nextX0 === x0 && nextY0 === y0 && nextX1 === x1 && nextY1 === y1) break;
    [x0, y0, x1, y1] = [nextX0, nextY0, nextX1, nextY1];
  }
  return { x0, y0, x1, y1 };
}
