import { chainLength } from '../../geometry/chain.js';
import { degreesOf } from '../../graphs/degrees.js';
import type { CentreEdge, CentreNode, CentrelineGraph } from '../../raster/centreline-graph.js';

/** What becomes of small things, in the graph's own unit. */
export interface TidyLimits {
  /** A line that ends freely and is shorter goes. */
  readonly shortest: number;
  /** Two junctions nearer to each other are one. */
  readonly oneJunction: number;
  /** A line that goes round to its own beginning within so much goes. */
  readonly leastLoop: number;
}

/** A tidied graph, and the free ends that went. */
export interface Tidied {
  readonly graph: CentrelineGraph;
  readonly dropped: number;
}

/** A branch into a rounded corner is about so many half widths long, measured from the junction. */
const CORNER_BRANCH = 1.3;
/** Of two junctions at least so near each other, in half widths of the line there, the line between them is no line. */
const IN_JUNCTION = 1;

/** The graph while it is tidied: edges that are gone are undefined. */
interface Worked {
  readonly nodes: CentreNode[];
  readonly edges: (CentreEdge | undefined)[];
}

/**
 * Takes off the short free ends of a graph, the shortest first, and makes one junction of two that are nearly one, so
 * that lines that cross meet in one place; where only two lines are left at a node they become one.
 */
export function tidied(graph: CentrelineGraph, limits: TidyLimits): Tidied {
  const work: Worked = { nodes: [...graph.nodes], edges: [...graph.edges] };
  let dropped = 0;
  // Each round takes an edge at least.
  for (let left = 2 * graph.edges.length; left > 0; left--) {
    joinPairs(work);
    const stub = shortestStub(work, limits);
    if (stub === undefined) break;
    work.edges[stub] = undefined;
    dropped++;
  }
  for (let left = 2 * graph.edges.length; left > 0; left--) {
    const short = shortestLink(work, limits);
    if (short === undefined) break;
    contract(work, short);
    joinPairs(work);
  }
  work.edges.forEach((edge, k) => {
    if (edge?.from === edge?.to && edge && edgeLength(edge) < limits.leastLoop)
      work.edges[k] = undefined;
  });
  joinPairs(work);
  return { graph: compacted(work), dropped };
}

function edgeLength({ x, y }: Pick<CentreEdge, 'x' | 'y'>): number {
  return chainLength(x, y);
}

/** The shortest free end that is too short to be a line. */
function shortestStub(work: Worked, { shortest }: TidyLimits): number | undefined {
  return shortestEdge(work, ({ from, to }, degree) => {
    const [a, b] = [degree[from], degree[to]];
    if ((a === 1) === (b === 1)) return 0;
    const meets = work.nodes[a === 1 ? to : from];
    return Math.max(shortest, CORNER_BRANCH * meets.halfWidth);
  });
}

/** The shortest line between two junctions that are nearly one. */
function shortestLink(work: Worked, { oneJunction }: TidyLimits): number | undefined {
  return shortestEdge(work, ({ from, to }, degree) => {
    if (from === to || degree[from] < 3 || degree[to] < 3) return 0;
    const [a, b] = [work.nodes[from], work.nodes[to]];
    return Math.max(oneJunction, IN_JUNCTION * Math.min(a.halfWidth, b.halfWidth));
  });
}

/** The number of the shortest edge of those that are shorter than their limit; undefined where there is none. */
function shortestEdge(
  { nodes, edges }: Worked,
  limitOf: (edge: CentreEdge, degree: ReturnType<typeof degreesOf>) => number,
): number | undefined {
  const degree = degreesOf(
    nodes.length,
    edges.filter((edge) => edge !== undefined),
  );
  let found: number | undefined;
  let least = Infinity;
  edges.forEach((edge, k) => {
    if (!edge) return;
    const length = edgeLength(edge);
    if (length >= limitOf(edge, degree) || length >= least) return;
    least = length;
    found = k;
  });
  return found;
}

/** Makes one node of an edge's two. */
function contract(work: Worked, k: number): void {
  const { from, to } = work.edges[k]!;
  const [a, b] = [work.nodes[from], work.nodes[to]];
  const middle = {
    x: (a.x + b.x) / 2,
    y: (a.y + b.y) / 2,
    halfWidth: Math.max(a.halfWidth, b.halfWidth),
  };
  work.nodes[from] = middle;
  work.edges[k] = undefined;
  work.edges.forEach((edge, at) => {
    if (!edge) return;
    const [starts, ends] = [edge.from, edge.to].map((node) => node === from || node === to);
    if (!starts && !ends) return;
    const [x, y] = [[...edge.x], [...edge.y]];
    if (starts) [x[0], y[0]] = [middle.x, middle.y];
    if (ends) [x[x.length - 1], y[y.length - 1]] = [middle.x, middle.y];
    work.edges[at] = { from: starts ? from : edge.from, to: ends ? from : edge.to, x, y };
  });
}

/** Joins the two edges that meet at each node where no third one does. */
function joinPairs(work: Worked): void {
  const at = new Map<number, number[]>();
  work.edges.forEach((edge, k) => {
    if (!edge) return;
    for (const node of [edge.from, edge.to]) at.set(node, [...(at.get(node) ?? []), k]);
  });
  for (const [node, ends] of at) {
    if (ends.length !== 2 || ends[0] === ends[1]) continue;
    const [one, other] = ends.map((k) => work.edges[k]!);
    const before = one.to === node ? one : reversed(one);
    const after = other.from === node ? other : reversed(other);
    work.edges[ends[0]] = {
      from: before.from,
      to: after.to,
      x: [...before.x, ...after.x.slice(1)],
      y: [...before.y, ...after.y.slice(1)],
    };
    work.edges[ends[1]] = undefined;
    const far = at.get(after.to);
    if (far)
      at.set(
        after.to,
        far.map((k) => (k === ends[1] ? ends[0] : k)),
      );
  }
}

function reversed({ from, to, x, y }: CentreEdge): CentreEdge {
  return { from: to, to: from, x: x.toReversed(), y: y.toReversed() };
}

function compacted({ nodes, edges }: Worked): CentrelineGraph {
  const kept = edges.filter((edge) => edge !== undefined);
  const used = [...new Set(kept.flatMap(({ from, to }) => [from, to]))];
  const number = new Map(used.map((node, k) => [node, k]));
  return {
    nodes: used.map((node) => nodes[node]),
    edges: kept.map((edge) => ({
      ...edge,
      from: number.get(edge.from)!,
      to: number.get(edge.to)!,
    })),
  };
}
