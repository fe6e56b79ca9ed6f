import { unionFind } from '../../graphs/union-find.js';
import { chainLength } from '../../geometry/chain.js';
import type { Point } from '../../geometry/shape.js';
import type { CentreEdge, CentreNode } from '../../raster/centreline-graph.js';

/** A line or a ring that holds two parts together, in mm. */
export interface Join {
  readonly from: Point;
  readonly to: Point;
  readonly kind: 'line' | 'ring';
  /** Whether it is a part's second one. */
  readonly isSecond: boolean;
  /** The edit by which a person gave it its ends, as it is numbered; undefined where it is as proposed. */
  readonly movedBy: number | undefined;
}

/** A line from node to node, in mm, and where it comes from: the picture, a hand, or a join. */
export interface LineEdge extends CentreEdge {
  /** The edit by which a person drew it, as it is numbered. */
  readonly drawnBy?: number;
  readonly join?: Join;
}

/** The lines of a drawing, and where they meet. */
export interface LineGraph {
  readonly nodes: readonly CentreNode[];
  readonly edges: readonly LineEdge[];
}

/** A graph whose edges are being cut where new lines begin. */
export interface Cuts {
  /** The node at a point of an edge: one that is near it, or a new one, at which the edge is cut. */
  readonly nodeOn: (edge: number, at: number) => number;
  /** A new node. */
  readonly nodeAt: (place: Point) => number;
  readonly placeOf: (node: number) => Point;
  /** The nodes, and the edges as they are cut so far. */
  readonly done: () => { readonly nodes: readonly CentreNode[]; readonly edges: LineEdge[][] };
}

/**
 * Cuts a graph's edges where lines begin.
 *
 * @param atNodeMm what begins this near to a node begins at it
 */
export function cutsOf(graph: LineGraph, atNodeMm: number): Cuts {
  const nodes: CentreNode[] = [...graph.nodes];
  const byEdge = new Map<number, Map<number, number>>();
  const nodeAt = ({ x, y }: Point): number => nodes.push({ x, y, halfWidth: 0 }) - 1;
  return {
    nodeAt,
    placeOf: (node) => nodes[node],
    nodeOn(edge, at) {
      const { from, to, x, y } = graph.edges[edge];
      for (const node of [from, to])
        if (Math.hypot(nodes[node].x - x[at], nodes[node].y - y[at]) <= atNodeMm) return node;
      const cuts = byEdge.get(edge) ?? new Map<number, number>();
      byEdge.set(edge, cuts);
      const known = cuts.get(at) ?? nodeAt({ x: x[at], y: y[at] });
      cuts.set(at, known);
      return known;
    },
    done: () => ({ nodes, edges: graph.edges.map((edge, k) => cutAt(edge, byEdge.get(k))) }),
  };
}

function cutAt(edge: LineEdge, cuts: ReadonlyMap<number, number> | undefined): LineEdge[] {
  if (!cuts) return [edge];
  const places = [...cuts].sort((a, b) => a[0] - b[0]);
  const pieces: LineEdge[] = [];
  let [start, from] = [0, edge.from];
  for (const [at, node] of [...places, [edge.x.length - 1, edge.to] as const]) {
    const [x, y] = [edge.x, edge.y].map((values) => values.slice(start, at + 1));
    pieces.push({ ...edge, from, to: node, x, y });
    [start, from] = [at, node];
  }
  return pieces;
}

/** A number for each node that is the same for those that hang together. */
export function componentsOf({ nodes, edges }: LineGraph): Int32Array {
  const joined = unionFind(nodes.length);
  for (const { from, to } of edges) joined.unite(from, to);
  return Int32Array.from(nodes, (_, node) => joined.find(node));
}

/** How many parts the edges are in. */
export function countParts(graph: LineGraph): number {
  const partOf = componentsOf(graph);
  return new Set(graph.edges.map(({ from }) => partOf[from])).size;
}

/** The length of an edge, mm. */
export function edgeLength({ x, y }: Pick<CentreEdge, 'x' | 'y'>): number {
  return chainLength(x, y);
}
