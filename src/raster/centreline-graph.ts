import { narrowBranches } from './narrow-branches.js';
import { eightNeighbours, stepsInRing } from './neighbours.js';
import type { Bitmap } from './raster.js';

/** A place where centrelines end or meet; a closed line that meets none has one anywhere. */
export interface CentreNode {
  /** In px from the raster's top left corner: pixel centres are halves. */
  readonly x: number;
  readonly y: number;
  /** How far it is from there to what lies outside the region, px. */
  readonly halfWidth: number;
}

/** A centreline from node to node, both included, in px. */
export interface CentreEdge {
  readonly from: number;
  readonly to: number;
  readonly x: readonly number[];
  readonly y: readonly number[];
}

/** The centrelines of regions, and where they meet. */
export interface CentrelineGraph {
  readonly nodes: readonly CentreNode[];
  readonly edges: readonly CentreEdge[];
}

/** Centreline pixels, each with its half width in px. */
type Pixels = ReadonlyMap<number, number>;

/**
 * The medial axis of the regions of 1, thinned to pixels and without the branches that only lead into corners, as a
 * graph; see `narrowBranches`.
 *
 * @param widest half of the widest region, px
 */
export function centrelineGraph(bitmap: Bitmap, widest: number): CentrelineGraph {
  const { width, height } = bitmap;
  const whole = { x: 0, y: 0, width, height };
  const lines = new Map<number, number>();
  for (const { pixels, halfWidths } of narrowBranches(bitmap, 1, widest, whole, whole)) {
    pixels.forEach((i, k) => lines.set(i, halfWidths[k]));
  }
  const clusters = junctionClusters(lines, width);
  const nodes: CentreNode[] = clusters.list.map((pixels) => meanOf(pixels, lines, width));
  const place = (i: number): readonly [number, number] => [
    (i % width) + 0.5,
    Math.floor(i / width) + 0.5,
  ];
  const nodeAt = (i: number): number => {
    const [x, y] = place(i);
    return nodes.push({ x, y, halfWidth: lines.get(i)! }) - 1;
  };
  const edges = pathsBetween(lines, clusters.of, width).map(({ pixels, meets, isClosed }) => {
    const [first, last] = [pixels[0], pixels[pixels.length - 1]];
    const from = meets[0] ?? nodeAt(first);
    const to = isClosed ? from : (meets[1] ?? nodeAt(last));
    const way = pixels.map(place);
    const points = [
      [nodes[from].x, nodes[from].y] as const,
      ...way,
      [nodes[to].x, nodes[to].y] as const,
    ];
    return { from, to, x: points.map(([x]) => x), y: points.map(([, y]) => y) };
  });
  return { nodes, edges };
}

function meanOf(pixels: readonly number[], lines: Pixels, width: number): CentreNode {
  let [x, y, halfWidth] = [0, 0, 0];
  for (const i of pixels) {
    x += ((i % width) + 0.5) / pixels.length;
    y += (Math.floor(i / width) + 0.5) / pixels.length;
    halfWidth = Math.max(halfWidth, lines.get(i)!);
  }
  return { x, y, halfWidth };
}

/** Pixels where three lines or more leave, and those beside them; what touches is one. */
function junctionClusters(
  lines: Pixels,
  width: number,
): { readonly of: ReadonlyMap<number, number>; readonly list: readonly (readonly number[])[] } {
  const ring = stepsInRing(width);
  const near = new Set<number>();
  for (const i of lines.keys()) {
    const count = ring.reduce(
      (sum, step, k) =>
        sum + Number(lines.has(i + step) && !lines.has(i + ring[(k + 7) % ring.length])),
      0,
    );
    // Where lines cross, thinning may leave a square of four, none of which has three lines.
    const isSquare = lines.has(i + 1) && lines.has(i + width) && lines.has(i + width + 1);
    if (count < 3 && !isSquare) continue;
    // Its neighbours too: else a line could pass it by a diagonal step.
    near.add(i);
    for (const j of eightNeighbours(i, width)) if (lines.has(j)) near.add(j);
  }
  const of = new Map<number, number>();
  const list: number[][] = [];
  for (const first of near) {
    if (of.has(first)) continue;
    const cluster = [first];
    of.set(first, list.length);
    for (const i of cluster) {
      for (const j of eightNeighbours(i, width)) {
        if (!near.has(j) || of.has(j)) continue;
        of.set(j, list.length);
        cluster.push(j);
      }
    }
    list.push(cluster);
  }
  return { of, list };
}

interface PixelPath {
  readonly pixels: readonly number[];
  /** The junctions at its first and its last pixel; undefined where it just ends. */
  readonly meets: readonly [number | undefined, number | undefined];
  readonly isClosed: boolean;
}

function pathsBetween(
  lines: Pixels,
  junctions: ReadonlyMap<number, number>,
  width: number,
): PixelPath[] {
  const isFree = (i: number): boolean => lines.has(i) && !junctions.has(i);
  const seen = new Set<number>();
  const walk = (from: number): number[] => {
    const way: number[] = [];
    for (let at: number | undefined = from; at !== undefined;) {
      const next: number | undefined = eightNeighbours(at, width).find(
        (j) => isFree(j) && !seen.has(j),
      );
      if (next !== undefined) {
        seen.add(next);
        way.push(next);
      }
      at = next;
    }
    return way;
  };
  const junctionsAt = (i: number): number[] => [
    ...new Set(
      eightNeighbours(i, width).flatMap((j) => (junctions.has(j) ? [junctions.get(j)!] : [])),
    ),
  ];
  const paths: PixelPath[] = [];
  for (const first of lines.keys()) {
    if (!isFree(first) || seen.has(first)) continue;
    seen.add(first);
    const ahead = walk(first);
    const behind = walk(first);
    const pixels = [...behind.reverse(), first, ...ahead];
    const [start, end] = [pixels[0], pixels[pixels.length - 1]];
    const [atStart, atEnd] = [junctionsAt(start), junctionsAt(end)];
    const isAlone = atStart.length === 0 && atEnd.length === 0;
    const isClosed = isAlone && pixels.length > 4 && eightNeighbours(start, width).includes(end);
    const to = pixels.length === 1 ? atEnd[1] : atEnd[0];
    paths.push({ pixels, meets: [atStart[0], to], isClosed });
  }
  return paths;
}
