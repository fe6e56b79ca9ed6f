import type { Job } from '../../settings/job.js';
import { centrelineGraph, type CentrelineGraph } from '../../raster/centreline-graph.js';
import { closed, eroded, opened } from '../../raster/morphology.js';
import { findRegions, type RegionRuns } from '../../raster/labels.js';
import type { Bitmap } from '../../raster/raster.js';
import { stampLine } from '../../raster/stamp-line.js';
import type { Picture } from '../read/read.js';
import type { Repeated } from '../repeat/repeat.js';
import { fillMass, type Way } from './fill.js';
import { tidied, type TidyLimits } from './tidy.js';
import { typified } from './typify.js';

/** A picture as the lines that a bead of glue can draw, in mm. */
export interface Lines {
  readonly graph: CentrelineGraph;
  /** What fills the masses inside their outlines. */
  readonly fills: readonly Way[];
  /** Parts of the picture that are smaller than a bead, and left out. */
  readonly partsDropped: number;
  /** Ends of lines that were too short to draw. */
  readonly endsDropped: number;
  /** Lines of a field, as of a hatching, that are left out so that the others have room. */
  readonly thinned: number;
  /** Openings between lines that the bead would close, and that are drawn closed. */
  readonly closed: number;
  /** Masses that are outlined, or outlined and filled. */
  readonly masses: number;
}

export type LineSettings = Pick<
  Job,
  'beadWidth' | 'narrowestOpening' | 'smallestOpening' | 'shortestStroke' | 'massFill'
>;

/** A part of the picture that is nowhere longer than this, in bead widths, is no dot but a speck. */
const LEAST_PART = 0.6;
/** Times that lines are drawn as beads and thinned again: what one round merges can come near a third. */
const MOST_ROUNDS = 4;
/** What has run together along two lines stays one line, unless it is wider than so many gaps and two beads. */
const STAYS_ONE = 1.5;
/**
 * Long lines side by side stay two where there is room for so many gaps between them: a hand is no more exact than that,
 * nor is the raster. What has less than so many more between it is told by its greater part.
 */
const [APART, ABOUT] = [1.25, 1.5];
/** Lines that do so are at least so many times as long as they are apart, from middle to middle. */
const LONG = 3;
/** Junctions nearer than so many bead widths look like one under the beads. */
const ONE_JUNCTION = 1.2;

/**
 * Finds the lines in a picture whose dark parts are to be drawn with a bead of glue.
 *
 * A part that is no wider than two beads and the gap between them is drawn by a line in its middle; of a wider one
 * the rim is drawn, half a bead inside of its edge. Then the lines are drawn on the raster as wide as the bead, what
 * would run together is let run together, and its middle is found anew; so lines that are nearer to each other than
 * two beads can be become one.
 */
export function lines(
  { bitmap }: Pick<Repeated, 'bitmap'>,
  { pixelsPerMm }: Pick<Picture, 'pixelsPerMm'>,
  job: LineSettings,
): Lines {
  const bead = job.beadWidth * pixelsPerMm;
  const gap = job.narrowestOpening * pixelsPerMm;
  const limits: TidyLimits = {
    shortest: job.shortestStroke * pixelsPerMm,
    oneJunction: ONE_JUNCTION * bead,
    leastLoop: bead,
  };
  const cleaned = withoutSpecks(bitmap, LEAST_PART * bead);
  const solid = withoutHoles(cleaned.bitmap, job.smallestOpening * pixelsPerMm ** 2).bitmap;
  const hollow = hollowed(solid, bead, gap);
  const least = job.smallestOpening * pixelsPerMm ** 2;
  const long = LONG * (bead + gap);
  const centred = (of: Bitmap) => withRoom(centrelineGraph(of, bead + 2 * gap), limits, bead, gap);
  const first = centred(hollow.rim);
  let { graph, endsDropped, thinned } = first;
  let places = 0;
  for (let round = 0; round < MOST_ROUNDS; round++) {
    const merged = runTogether(drawnAt(graph, solid, bead / 2), gap, long, least);
    if (merged.closed === 0 && (round > 0 || first.pairs === 0)) break;
    // Of lines that lie on each other there is nothing between to close.
    places += round === 0 ? Math.max(first.pairs, merged.closed) : merged.closed;
    const whole = withoutHoles(merged.bitmap, least).bitmap;
    const next = centred(hollowed(whole, bead, STAYS_ONE * gap).rim);
    graph = next.graph;
    endsDropped += next.endsDropped;
    thinned += next.thinned;
  }
  return {
    graph: graphInMm(graph, pixelsPerMm),
    fills: fillMass(hollow.core, bead, job.massFill).map(({ x, y }) => ({
      x: x.map((px) => px / pixelsPerMm),
      y: y.map((px) => px / pixelsPerMm),
    })),
    partsDropped: cleaned.dropped,
    endsDropped,
    thinned,
    closed: places,
    masses: hollow.masses,
  };
}

function graphInMm({ nodes, edges }: CentrelineGraph, pixelsPerMm: number): CentrelineGraph {
  return {
    nodes: nodes.map(({ x, y, halfWidth }) => ({
      x: x / pixelsPerMm,
      y: y / pixelsPerMm,
      halfWidth: halfWidth / pixelsPerMm,
    })),
    edges: edges.map((edge) => ({
      ...edge,
      x: edge.x.map((px) => px / pixelsPerMm),
      y: edge.y.map((px) => px / pixelsPerMm),
    })),
  };
}

/** Drops the dark parts that are nowhere longer than so many px. */
function withoutSpecks(bitmap: Bitmap, least: number): { bitmap: Bitmap; dropped: number } {
  const regions = findRegions(bitmap, 1, 8);
  const isSpeck = (region: number): boolean => {
    const [left, top, right, bottom] = regions.bounds.subarray(4 * region, 4 * region + 4);
    return Math.max(right - left, bottom - top) + 1 < least;
  };
  return painted(bitmap, regions, isSpeck, 0);
}

/** Fills the light holes that are smaller than so many px², and so could not stay open. */
function withoutHoles(bitmap: Bitmap, least: number): { bitmap: Bitmap; dropped: number } {
  const regions = findRegions(bitmap, 0, 4);
  return painted(bitmap, regions, (region) => regions.areas[region] < least, 1);
}

function painted(
  { width, height, data }: Bitmap,
  { starts, ends, numbers, count }: RegionRuns,
  isWanted: (region: number) => boolean,
  value: 0 | 1,
): { bitmap: Bitmap; dropped: number } {
  const wanted = new Set(Array.from({ length: count }, (_, k) => k + 1).filter(isWanted));
  const changed = data.slice();
  for (let run = 0; run < starts.length; run++)
    if (wanted.has(numbers[run])) changed.fill(value, starts[run], ends[run]);
  return { bitmap: { width, height, data: changed }, dropped: wanted.size };
}

/** A bitmap with its masses hollowed out, and what was taken from them. */
interface Hollowed {
  readonly rim: Bitmap;
  readonly core: Bitmap;
  readonly masses: number;
}

/** Takes out of each part what is further inside than a bead, where there is room for a gap between two beads. */
function hollowed(bitmap: Bitmap, bead: number, gap: number): Hollowed {
  const { width, height } = bitmap;
  const core = opened(eroded(bitmap, bead), gap / 2);
  const rim = bitmap.data.map((dark, i) => dark & ~core.data[i]);
  return {
    rim: { width, height, data: rim },
    core,
    masses: findRegions(core, 1, 8).count,
  };
}

/** Draws centrelines on a raster of some size, as wide as the bead. */
function drawnAt(
  { edges }: CentrelineGraph,
  { width, height }: Pick<Bitmap, 'width' | 'height'>,
  radius: number,
): Bitmap {
  const data = new Uint8Array(width * height);
  for (const { x, y } of edges) stampLine(data, width, height, x, y, radius);
  return { width, height, data };
}

/**
 * Closes what lies between beads that are nearer to each other than a gap. What lies between two long lines that are
 * about so near is closed as a whole by its greater part: two lines are not one by bits.
 *
 * @param gap,long px: lines run beside each other when there is so little between them, and for so much
 * @param least px²: what closes between them counts when it is larger
 */
function runTogether(
  drawn: Bitmap,
  gap: number,
  long: number,
  least: number,
): { readonly bitmap: Bitmap; readonly closed: number } {
  const between = betweenBeads(drawn, gap).data;
  const near = betweenBeads(drawn, APART * gap).data;
  const about = findRegions(betweenBeads(drawn, ABOUT * gap), 1, 8);
  const { starts, ends, numbers, areas, bounds, count } = about;
  const share = new Float64Array(count + 1);
  for (let run = 0; run < starts.length; run++)
    for (let i = starts[run]; i < ends[run]; i++)
      share[numbers[run]] += near[i] / areas[numbers[run]];
  for (let run = 0; run < starts.length; run++) {
    const region = numbers[run];
    const [left, top, right, bottom] = bounds.subarray(4 * region, 4 * region + 4);
    const isLong = Math.max(right - left, bottom - top) >= long;
    if (isLong && share[region] >= 0.5) between.fill(1, starts[run], ends[run]);
  }
  const filled = findRegions({ ...drawn, data: between }, 1, 8);
  return {
    bitmap: { ...drawn, data: drawn.data.map((bead, i) => bead | between[i]) },
    closed: filled.areas.filter((area) => area >= least).length,
  };
}

/** What lies between beads that are nearer to each other than a gap. */
function betweenBeads(drawn: Bitmap, gap: number): Bitmap {
  const { data } = closed(drawn, gap / 2);
  return { ...drawn, data: data.map((value, i) => value & ~drawn.data[i]) };
}

/** A tidied graph of lines that have room, but for those that run side by side two and two. */
interface WithRoom {
  readonly graph: CentrelineGraph;
  readonly endsDropped: number;
  readonly thinned: number;
  readonly pairs: number;
}

function withRoom(raw: CentrelineGraph, limits: TidyLimits, bead: number, gap: number): WithRoom {
  const { graph, dropped: endsDropped } = tidied(raw, limits);
  const { graph: room, dropped: thinned, pairs } = typified(graph, bead + APART * gap, bead);
  const left = thinned === 0 ? graph : tidied(room, limits).graph;
  return { graph: left, endsDropped, thinned, pairs };
}
