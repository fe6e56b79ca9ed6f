import { delaunayEdges } from '../../geometry/triangulation.js';
import type { Job } from '../../job.js';
import { importanceAt } from '../../raster/importance.js';
import type { Box } from '../../raster/raster.js';
import type { Film } from './film.js';
import { tiesAlong, type Tie } from './tie.js';

/** How far apart the points are taken along the cores' edges. */
const SPACING_MM = 0.4;

/** So many places are tried between two cores, and so far apart: the best, and others further off. */
const BEST = { places: 10, apartMm: 1.2 };
const FURTHER = { places: 16, apartMm: 4 };

/**
 * The ties between cores that are worth weighing.
 *
 * The Delaunay triangulation of the points of all the cores' edges is connected and holds their Euclidean minimum
 * spanning tree (Shamos & Hoey 1975), so its edges between different cores, cut into legs from core to core, always
 * suffice to join all of them.
 *
 * @param within the part of the sheet, in px, that is looked at
 */
export function candidateTies(
  film: Film,
  limits: Pick<Job, 'bridgeWidth' | 'narrowestStrip' | 'narrowestOpening'>,
  within: Box = { x: 0, y: 0, width: film.bitmap.width, height: film.bitmap.height },
): Tie[] {
  const { points, cores } = edgePoints(film, within);
  const edges = delaunayEdges(points);
  const ties: Tie[] = [];
  for (const between of edgesByPair(points, cores, edges).values()) {
    for (const edge of worthTrying(between, film)) {
      const { x0, y0, x1, y1 } = edge;
      ties.push(...tiesAlong(film, x0, y0, x1, y1, limits));
      const near = shortened(film, edge);
      if (near.x0 !== x0 || near.y0 !== y0 || near.x1 !== x1 || near.y1 !== y1) {
        ties.push(...tiesAlong(film, near.x0, near.y0, near.x1, near.y1, limits));
      }
    }
  }
  return ties;
}

/** Pixel centres on the edges of the cores, in px, and the core of each. */
function edgePoints(
  { bitmap: { width, height }, pixelsPerMm, cores }: Film,
  within: Box,
): {
  readonly points: Float64Array;
  readonly cores: Int32Array;
} {
  const cell = Math.max(2, Math.round(SPACING_MM * pixelsPerMm));
  const columns = Math.ceil(width / cell);
  const taken = new Int32Array(columns * Math.ceil(height / cell));
  const points: number[] = [];
  const coreOf: number[] = [];
  const [left, top] = [Math.max(1, within.x), Math.max(1, within.y)];
  const right = Math.min(width - 1, within.x + within.width);
  const bottom = Math.min(height - 1, within.y + within.height);
  for (let y = top; y < bottom; y++) {
    const row = Math.floor(y / cell) * columns;
    for (let x = left, i = y * width + left; x < right; x++, i++) {
      const core = cores[i];
      if (core === 0) continue;
      if (cores[i - 1] && cores[i + 1] && cores[i - width] && cores[i + width]) continue;
      const at = row + Math.floor(x / cell);
      // One point a cell and core; cells that several cores share may hold a few more.
      if (taken[at] === core) continue;
      taken[at] = core;
      points.push(x + 0.5, y + 0.5);
      coreOf.push(core);
    }
  }
  return { points: Float64Array.from(points), cores: Int32Array.from(coreOf) };
}

/** A line between two cores, in px. */
interface Line {
  readonly x0: number;
  readonly y0: number;
  readonly x1: number;
  readonly y1: number;
}

/** A line and how much of it, in px, lies in openings, each place as it matters. */
interface Crossing extends Line {
  readonly open: number;
}

function edgesByPair(
  points: Float64Array,
  cores: Int32Array,
  edges: Uint32Array,
): Map<number, Line[]> {
  const pairs = new Map<number, Line[]>();
  for (let e = 0; e < edges.length; e += 2) {
    let a = edges[e];
    let b = edges[e + 1];
    if (cores[a] === cores[b]) continue;
    if (cores[a] > cores[b]) [a, b] = [b, a];
    const key = cores[a] * 2 ** 26 + cores[b];
    const [x0, y0, x1, y1] = [points[2 * a], points[2 * a + 1], points[2 * b], points[2 * b + 1]];
    const line = { x0, y0, x1, y1 };
    const lines = pairs.get(key);
    if (lines) lines.push(line);
    else pairs.set(key, [line]);
  }
  return pairs;
}

/** The lines of two cores that cross the least opening, as it matters, in different places. */
function worthTrying(lines: readonly Line[], film: Film): Line[] {
  const sorted = lines
    .map((line): Crossing => ({ ...line, open: openAlong(film, line) }))
    .sort((a, b) => a.open - b.open);
  const kept: Line[] = [];
  for (const { places, apartMm } of [BEST, FURTHER]) {
    const apart = apartMm * film.pixelsPerMm;
    for (const line of sorted) {
      if (kept.length === places) break;
      if (kept.every((other) => distance(line, other) >= apart)) kept.push(line);
    }
  }
  return kept;
}

function openAlong(
  { bitmap: { width, data }, importance }: Film,
  { x0, y0, x1, y1 }: Line,
): number {
  const length = Math.hypot(x1 - x0, y1 - y0);
  const steps = Math.ceil(length);
  let open = 0;
  for (let i = 1; i < steps; i++) {
    const x = Math.floor(x0 + ((x1 - x0) * i) / steps);
    const y = Math.floor(y0 + ((y1 - y0) * i) / steps);
    if (data[y * width + x] === 1) open += importance ? importanceAt(importance, x, y) : 1;
  }
  // Of lines that cross as much, the shorter one.
  return open + 1e-3 * length;
}

/** How far the middles of two lines are from each other. */
function distance(a: Line, b: Line): number {
  return Math.hypot(a.x0 + a.x1 - b.x0 - b.x1, a.y0 + a.y1 - b.y0 - b.y1) / 2;
}

const REACH_PX = 2;

/** Lets both ends of a line creep along their cores, pixel by pixel, for as long as that makes it shorter. */
function shortened({ bitmap: { width, height }, cores }: Film, line: Line): Line {
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
