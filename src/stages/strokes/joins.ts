import type { Job } from '../../settings/job.js';
import { delaunayEdges } from '../../geometry/triangulation.js';
import type { Point } from '../../geometry/shape.js';
import { spanningTree } from '../../graphs/spanning-tree.js';
import { unionFind } from '../../graphs/union-find.js';
import type { CentreEdge, CentreNode, CentrelineGraph } from '../../raster/centreline-graph.js';

/** A line or a ring that holds two parts together, in mm. */
export interface Join {
  readonly from: Point;
  readonly to: Point;
  readonly kind: 'line' | 'ring';
  /** Whether it is a part's second one. */
  readonly isSecond: boolean;
}

/** Lines that hang together, with what joins them. */
export interface Joined {
  readonly graph: CentrelineGraph;
  /** The edges that join, by number. */
  readonly joining: ReadonlySet<number>;
  readonly joins: readonly Join[];
  /** How many parts there were. */
  readonly parts: number;
}

export type JoinSettings = Pick<
  Job,
  'beadWidth' | 'narrowestOpening' | 'joinBy' | 'bridgeAmount' | 'tightestBend'
>;

/** From point to point along the lines where a join may begin, mm. */
const STEP_MM = 1;
/** A join that goes on from the free end of a line saves a start and a stop: it may be longer by this share. */
const FREE_END = 0.2;
/** A join that begins this near to a node, in bead widths, begins at it. */
const AT_NODE = 0.6;
/** By `bridgeAmount`: a part whose lines are longer than so many bead widths is held twice. By eye. */
const SECOND_FROM: Readonly<Record<Job['bridgeAmount'], number>> = {
  fewer: Infinity,
  usual: 12,
  more: 6,
};
/** Two joins of a part lie so far from each other, as a share of its extent, and are so many times as long as one. */
const APART = 0.25;
const LONGER = 3.5;

/** The radius of a joining ring, in bead widths: a larger one would look like a part of the picture. By eye. */
const WIDEST_RING = 4;

/** A place on a line: an edge and how far along it. */
interface Foot extends Point {
  readonly edge: number;
  /** The number of the point of the edge. */
  readonly at: number;
  readonly part: number;
  readonly isFree: boolean;
}

interface Candidate {
  readonly from: number;
  readonly to: number;
  readonly weight: number;
  readonly lengthMm: number;
  readonly feet: readonly [Foot, Foot];
}

/**
 * Joins the parts of a drawing by the least length of bead: candidates are the sides of the Delaunay triangulation of
 * places along the lines, which holds the shortest gap between any two parts that are neighbours, and a spanning tree
 * chooses among them (Shamos & Hoey, "Closest-point problems", FOCS 1975). A long part that would hang by one join gets
 * a second.
 */
export function joinParts(graph: CentrelineGraph, job: JoinSettings): Joined {
  const partOf = partsOf(graph);
  const parts = new Set(graph.edges.map(({ from }) => partOf[from])).size;
  if (parts < 2) return { graph, joining: new Set(), joins: [], parts };
  const feet = feetOf(graph, partOf);
  const candidates = candidatesAmong(feet);
  const tree = spanningTree(graph.nodes.length, candidates);
  const held = heldTwice(tree, candidates, graph, partOf, job);
  const within = extentOf(graph);
  const wanted = held.map((hold): Wanted => ({
    feet: hold.feet,
    kind: ringFits(hold, job, within) ? 'ring' : 'line',
    isSecond: hold.isSecond,
  }));
  const made = withJoins(graph, wanted, AT_NODE * job.beadWidth);
  const joins = wanted.map(({ feet: [from, to], kind, isSecond }): Join => ({
    from: { x: from.x, y: from.y },
    to: { x: to.x, y: to.y },
    kind,
    isSecond,
  }));
  return { ...made, joins, parts };
}

/**
 * A ring joins where it is asked for, its hole stays open, it bends no tighter than a hand can, is no wider than a few
 * beads, and lies within the lines' own extent.
 */
function ringFits(
  { lengthMm, feet: [a, b] }: Candidate,
  job: JoinSettings,
  within: Extent,
): boolean {
  const radius = lengthMm / 2;
  const [x, y] = [(a.x + b.x) / 2, (a.y + b.y) / 2];
  return (
    job.joinBy === 'rings' &&
    radius >= (job.beadWidth + job.narrowestOpening) / 2 &&
    radius >= job.tightestBend &&
    radius <= WIDEST_RING * job.beadWidth &&
    x - radius >= within.left &&
    x + radius <= within.right &&
    y - radius >= within.top &&
    y + radius <= within.bottom
  );
}

/** How far lines reach, mm. */
interface Extent {
  readonly left: number;
  readonly top: number;
  readonly right: number;
  readonly bottom: number;
}

function extentOf({ edges }: CentrelineGraph): Extent {
  let [left, top, right, bottom] = [Infinity, Infinity, -Infinity, -Infinity];
  for (const { x, y } of edges) {
    for (let i = 0; i < x.length; i++) {
      [left, right] = [Math.min(left, x[i]), Math.max(right, x[i])];
      [top, bottom] = [Math.min(top, y[i]), Math.max(bottom, y[i])];
    }
  }
  return { left, top, right, bottom };
}

function partsOf({ nodes, edges }: CentrelineGraph): Int32Array {
  const joined = unionFind(nodes.length);
  for (const { from, to } of edges) joined.unite(from, to);
  return Int32Array.from(nodes, (_, node) => joined.find(node));
}

function feetOf({ nodes, edges }: CentrelineGraph, partOf: Int32Array): Foot[] {
  const degree = new Int32Array(nodes.length);
  for (const { from, to } of edges) {
    degree[from]++;
    degree[to]++;
  }
  return edges.flatMap(({ from, to, x, y }, edge) => {
    const feet: Foot[] = [];
    let passed = Infinity;
    const last = x.length - 1;
    for (let at = 0; at <= last; at++) {
      if (at > 0) passed += Math.hypot(x[at] - x[at - 1], y[at] - y[at - 1]);
      const isEnd = at === 0 || at === last;
      if (!isEnd && passed < STEP_MM) continue;
      passed = 0;
      const isFree = isEnd && degree[at === 0 ? from : to] === 1;
      feet.push({ edge, at, x: x[at], y: y[at], part: partOf[from], isFree });
    }
    return feet;
  });
}

function candidatesAmong(feet: readonly Foot[]): Candidate[] {
  const sides = delaunayEdges(Float64Array.from(feet.flatMap(({ x, y }) => [x, y])));
  const candidates: Candidate[] = [];
  for (let i = 0; i < sides.length; i += 2) {
    const [a, b] = [feet[sides[i]], feet[sides[i + 1]]];
    if (a.part === b.part) continue;
    const lengthMm = Math.hypot(b.x - a.x, b.y - a.y);
    const weight = lengthMm * (1 - FREE_END * (Number(a.isFree) + Number(b.isFree)));
    candidates.push({ from: a.part, to: b.part, weight, lengthMm, feet: [a, b] });
  }
  return candidates;
}

type Hold = Candidate & { readonly isSecond: boolean };

/** The joins of a tree, with two in place of the one by which a long part hangs: the least pair well apart. */
function heldTwice(
  tree: readonly Candidate[],
  candidates: readonly Candidate[],
  graph: CentrelineGraph,
  partOf: Int32Array,
  { beadWidth, bridgeAmount }: JoinSettings,
): Hold[] {
  const sizes = sizesOf(graph, partOf);
  const main = [...sizes].reduce((a, b) => (b[1].length > a[1].length ? b : a))[0];
  const isLong = (part: number): boolean =>
    part !== main && sizes.get(part)!.length >= SECOND_FROM[bridgeAmount] * beadWidth;
  const holds = (part: number): number =>
    tree.filter(({ from, to }) => from === part || to === part).length;
  return tree.flatMap((join): Hold[] => {
    const part = [join.from, join.to].find((end) => isLong(end) && holds(end) === 1);
    const pair = part === undefined ? undefined : leastPair(join, candidates, sizes.get(part)!, part); // prettier-ignore
    if (!pair) return [{ ...join, isSecond: false }];
    return [
      { ...pair[0], isSecond: false },
      { ...pair[1], isSecond: true },
    ];
  });
}

/** How long the lines of a part are, and how far it reaches, in mm. */
interface PartSize {
  readonly length: number;
  readonly extent: number;
}

function sizesOf({ edges }: CentrelineGraph, partOf: Int32Array): Map<number, PartSize> {
  const sizes = new Map<number, PartSize>();
  for (const part of new Set(edges.map(({ from }) => partOf[from]))) {
    const own = edges.filter(({ from }) => partOf[from] === part);
    const [xs, ys] = [own.flatMap(({ x }) => x), own.flatMap(({ y }) => y)];
    const span = (values: readonly number[]): number =>
      values.reduce((a, b) => Math.max(a, b), -Infinity) -
      values.reduce((a, b) => Math.min(a, b), Infinity);
    const length = own.reduce((sum, edge) => sum + lengthOf(edge), 0);
    sizes.set(part, { length, extent: Math.hypot(span(xs), span(ys)) });
  }
  return sizes;
}

function lengthOf({ x, y }: CentreEdge): number {
  return x.reduce((sum, px, i) => sum + (i > 0 ? Math.hypot(px - x[i - 1], y[i] - y[i - 1]) : 0), 0); // prettier-ignore
}

function leastPair(
  join: Candidate,
  candidates: readonly Candidate[],
  { extent }: PartSize,
  part: number,
): readonly [Candidate, Candidate] | undefined {
  const own = ({ feet }: Candidate): Foot => feet.find((foot) => foot.part === part)!;
  const between = candidates.filter(
    ({ from, to }) =>
      (from === join.from && to === join.to) || (from === join.to && to === join.from),
  );
  let found: readonly [Candidate, Candidate] | undefined;
  let least = LONGER * join.lengthMm;
  between.forEach((one, k) => {
    for (const other of between.slice(k + 1)) {
      const sum = one.lengthMm + other.lengthMm;
      if (sum >= least) continue;
      const [a, b] = [own(one), own(other)];
      if (Math.hypot(a.x - b.x, a.y - b.y) < APART * extent) continue;
      least = sum;
      found = [one, other];
    }
  });
  return found;
}

interface Wanted {
  readonly feet: readonly [Foot, Foot];
  readonly kind: Join['kind'];
  readonly isSecond: boolean;
}

/** Splits edges where joins begin, and adds the joins. */
function withJoins(
  graph: CentrelineGraph,
  wanted: readonly Wanted[],
  atNodeMm: number,
): { readonly graph: CentrelineGraph; readonly joining: ReadonlySet<number> } {
  const nodes: CentreNode[] = [...graph.nodes];
  const byEdge = new Map<number, Map<number, number>>();
  const nodeFor = ({ edge, at, x, y }: Foot): number => {
    const { from, to } = graph.edges[edge];
    for (const node of [from, to])
      if (Math.hypot(nodes[node].x - x, nodes[node].y - y) <= atNodeMm) return node;
    const cuts = byEdge.get(edge) ?? new Map<number, number>();
    byEdge.set(edge, cuts);
    const known = cuts.get(at) ?? nodes.push({ x, y, halfWidth: 0 }) - 1;
    cuts.set(at, known);
    return known;
  };
  const added = wanted.flatMap(({ feet: [a, b], kind }) => {
    const [from, to] = [nodeFor(a), nodeFor(b)];
    return kind === 'line' ? [straight(nodes, from, to)] : ring(nodes, from, to);
  });
  const joined = new Set(added.flatMap(({ from, to }) => [from, to]));
  const kept = graph.edges.flatMap((edge, k) =>
    // A dot that something joins is the join's own end.
    isDot(edge) && joined.has(edge.from) ? [] : split(edge, byEdge.get(k)),
  );
  const edges = [...kept, ...added];
  return { graph: { nodes, edges }, joining: new Set(added.map((_, k) => kept.length + k)) };
}

/** What is no longer than this, in mm, is a dot. */
const DOT_MM = 0.3;

const isDot = (edge: CentreEdge): boolean => edge.from !== edge.to && lengthOf(edge) < DOT_MM;

function split(edge: CentreEdge, cuts: ReadonlyMap<number, number> | undefined): CentreEdge[] {
  if (!cuts) return [edge];
  const places = [...cuts].sort((a, b) => a[0] - b[0]);
  const pieces: CentreEdge[] = [];
  let [start, from] = [0, edge.from];
  for (const [at, node] of [...places, [edge.x.length - 1, edge.to] as const]) {
    pieces.push({ from, to: node, x: edge.x.slice(start, at + 1), y: edge.y.slice(start, at + 1) });
    [start, from] = [at, node];
  }
  return pieces;
}

function straight(nodes: readonly CentreNode[], from: number, to: number): CentreEdge {
  const [a, b] = [nodes[from], nodes[to]];
  return { from, to, x: [a.x, b.x], y: [a.y, b.y] };
}

/** Points on half of a ring. */
const HALF_RING = 24;

function ring(nodes: readonly CentreNode[], from: number, to: number): CentreEdge[] {
  const [a, b] = [nodes[from], nodes[to]];
  const [cx, cy] = [(a.x + b.x) / 2, (a.y + b.y) / 2];
  return [1, -1].map((side) => {
    const turned = Array.from(
      { length: HALF_RING + 1 },
      (_, k) => (side * Math.PI * k) / HALF_RING,
    );
    return {
      from,
      to,
      x: turned.map((t) => cx + (a.x - cx) * Math.cos(t) - (a.y - cy) * Math.sin(t)),
      y: turned.map((t) => cy + (a.x - cx) * Math.sin(t) + (a.y - cy) * Math.cos(t)),
    };
  });
}
