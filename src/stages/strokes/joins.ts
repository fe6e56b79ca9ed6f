import type { Bounds } from '../../geometry/bounding-box.js';
import { degreesOf } from '../../graphs/degrees.js';
import type { Job } from '../../settings/job.js';
import { delaunayEdges } from '../../geometry/triangulation.js';
import type { Point } from '../../geometry/shape.js';
import { spanningTree } from '../../graphs/spanning-tree.js';
import {
  cutsOf,
  edgeLength,
  componentsOf,
  type Join,
  type LineEdge,
  type LineGraph,
} from './line-graph.js';

/** What a person says about a join that was proposed, named by its middle: it goes, or gets other ends. */
export interface JoinEdit {
  /** The number of the edit in the job. */
  readonly index: number;
  readonly at: Point;
  readonly to?: readonly [Point, Point];
}

/** Lines that hang together, with what joins them. */
export interface Joined {
  readonly graph: LineGraph;
  readonly joins: readonly Join[];
  /** Dots at which a join ends, and which it covers; the graph is without them. */
  readonly dots: readonly LineEdge[];
  /** How many parts there were. */
  readonly parts: number;
  /** The edits after which parts do not hang together any more. */
  readonly broken: readonly JoinEdit[];
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
/**
 * A second join of a part lies at least `APART` times the part's extent from the first, and both together are at most
 * `LONGER` times as long as a single one would be.
 */
const APART = 0.25;
const LONGER = 3.5;

/** An edit takes the join whose middle has wandered no further than so many bead widths. */
const TAKEN_WITHIN = 1;

/** The radius of a joining ring, in bead widths: a larger one would look like a part of the picture. By eye. */
const WIDEST_RING = 6;

/** An end of a join; loose where it is on no line. */
interface End extends Point {
  readonly edge?: number;
  /** The number of the point of the edge. */
  readonly at?: number;
}

/** A place on a line: an edge and how far along it. */
interface Foot extends End {
  readonly edge: number;
  readonly at: number;
  readonly part: number;
  readonly isFree: boolean;
}

interface Candidate {
  readonly from: number;
  readonly to: number;
  readonly cost: number;
  readonly lengthMm: number;
  readonly feet: readonly [Foot, Foot];
}

/**
 * Joins the parts of a drawing by the least length of bead: candidates are the sides of the Delaunay triangulation of
 * places along the lines, which holds the shortest gap between any two parts that are neighbours, and a spanning tree
 * chooses among them (Shamos & Hoey, "Closest-point problems", FOCS 1975). A long part that would hang by one join gets
 * a second.
 */
export function joinParts(
  graph: LineGraph,
  job: JoinSettings,
  edits: readonly JoinEdit[] = [],
): Joined {
  const partOf = componentsOf(graph);
  const parts = new Set(graph.edges.map(({ from }) => partOf[from])).size;
  if (parts < 2 && edits.length === 0) return { graph, joins: [], dots: [], parts, broken: [] };
  const feet = feetOf(graph, partOf);
  const proposed = parts < 2 ? [] : proposedAmong(feet, graph, partOf, job);
  const sifted = withoutTaken(proposed, edits, TAKEN_WITHIN * job.beadWidth);
  const moved = edits.flatMap(
    ({ index, to }): Wanted[] =>
    to ? [{ ends: bothEnds(to, feet, job.beadWidth), kind: 'line', isSecond: false, movedBy: index }] : [], // prettier-ignore
  );
  const made = withJoins(graph, [...sifted.kept, ...moved], AT_NODE * job.beadWidth);
  const joinedPart = componentsOf(made.graph);
  const broken = sifted.taken
    .filter(
      ({
        proposal: {
          ends: [a, b],
        },
      }) => partAt(a, graph, joinedPart) !== partAt(b, graph, joinedPart),
    ) // prettier-ignore
    .map(({ edit }) => edit);
  return { ...made, parts, broken };
}

/** The part that an end's line belongs to: both ends of a line are in one, whether or not it is split for the join. */
function partAt(end: End, { edges }: LineGraph, joinedPart: Int32Array): number {
  return end.edge === undefined ? -1 : joinedPart[edges[end.edge].from];
}

/** The joins that hold all parts together, with a long part's second one. */
function proposedAmong(
  feet: readonly Foot[],
  graph: LineGraph,
  partOf: Int32Array,
  job: JoinSettings,
): Wanted[] {
  const candidates = candidatesAmong(feet);
  const tree = spanningTree(graph.nodes.length, candidates);
  const within = boundsOfLines(graph);
  const isRing = (join: Candidate): boolean => ringFits(join, job, within);
  return heldTwice(tree, candidates, graph, partOf, job, isRing).map((hold): Wanted => ({
    ends: hold.feet,
    kind: isRing(hold) ? 'ring' : 'line',
    isSecond: hold.isSecond,
    movedBy: undefined,
  }));
}

/** A proposed join that a person takes away, or moves. */
interface EditedProposal {
  readonly proposal: Wanted;
  readonly edit: JoinEdit;
}

/** The proposals without those that edits take: each takes the one whose middle is nearest to its place. */
function withoutTaken(
  proposed: readonly Wanted[],
  edits: readonly JoinEdit[],
  withinMm: number,
): { readonly kept: readonly Wanted[]; readonly taken: readonly EditedProposal[] } {
  const taken = new Map<Wanted, JoinEdit>();
  for (const edit of edits) {
    let [best, least]: [Wanted | undefined, number] = [undefined, withinMm];
    for (const proposal of proposed) {
      const [a, b] = proposal.ends;
      const off = Math.hypot((a.x + b.x) / 2 - edit.at.x, (a.y + b.y) / 2 - edit.at.y);
      if (off <= least && !taken.has(proposal)) [best, least] = [proposal, off];
    }
    if (best) taken.set(best, edit);
  }
  return {
    kept: proposed.filter((proposal) => !taken.has(proposal)),
    taken: [...taken].map(([proposal, edit]) => ({ proposal, edit })),
  };
}

/** The places on lines that are nearest to where a person laid a join's ends; loose ones where none is near. */
function bothEnds(
  places: readonly [Point, Point],
  feet: readonly Foot[],
  reachMm: number,
): readonly [End, End] {
  const [from, to] = places.map(({ x, y }): End => {
    let [best, least]: [End, number] = [{ x, y }, reachMm];
    for (const foot of feet) {
      const off = Math.hypot(foot.x - x, foot.y - y);
      if (off < least) [best, least] = [foot, off];
    }
    return best;
  });
  return [from, to];
}

/**
 * A ring joins where it is asked for, its hole stays open, it bends no tighter than a hand can, is no wider than a few
 * beads, and lies within the lines' own extent.
 */
function ringFits(
  { lengthMm, feet: [a, b] }: Candidate,
  job: JoinSettings,
  within: Bounds,
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

/** The box round all lines, mm. */
function boundsOfLines({ edges }: LineGraph): Bounds {
  let [left, top, right, bottom] = [Infinity, Infinity, -Infinity, -Infinity];
  for (const { x, y } of edges) {
    for (let i = 0; i < x.length; i++) {
      [left, right] = [Math.min(left, x[i]), Math.max(right, x[i])];
      [top, bottom] = [Math.min(top, y[i]), Math.max(bottom, y[i])];
    }
  }
  return { left, top, right, bottom };
}

function feetOf({ nodes, edges }: LineGraph, partOf: Int32Array): Foot[] {
  const degree = degreesOf(nodes.length, edges);
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
    const cost = lengthMm * (1 - FREE_END * (Number(a.isFree) + Number(b.isFree)));
    candidates.push({ from: a.part, to: b.part, cost, lengthMm, feet: [a, b] });
  }
  return candidates;
}

type Hold = Candidate & { readonly isSecond: boolean };

/** The joins of a tree, with two in place of the one by which a long part hangs: the least pair well apart. */
function heldTwice(
  tree: readonly Candidate[],
  candidates: readonly Candidate[],
  graph: LineGraph,
  partOf: Int32Array,
  { beadWidth, bridgeAmount }: JoinSettings,
  isRing: (join: Candidate) => boolean,
): Hold[] {
  const sizes = sizesOf(graph, partOf);
  const main = [...sizes].reduce((a, b) => (b[1].length > a[1].length ? b : a))[0];
  const isLong = (part: number): boolean =>
    part !== main && sizes.get(part)!.length >= SECOND_FROM[bridgeAmount] * beadWidth;
  const holds = (part: number): number =>
    tree.filter(({ from, to }) => from === part || to === part).length;
  return tree.flatMap((join): Hold[] => {
    // A ring holds with both of its halves.
    if (isRing(join)) return [{ ...join, isSecond: false }];
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

function sizesOf({ edges }: LineGraph, partOf: Int32Array): Map<number, PartSize> {
  const sizes = new Map<number, PartSize>();
  for (const part of new Set(edges.map(({ from }) => partOf[from]))) {
    const own = edges.filter(({ from }) => partOf[from] === part);
    const [xs, ys] = [own.flatMap(({ x }) => x), own.flatMap(({ y }) => y)];
    const span = (values: readonly number[]): number =>
      values.reduce((a, b) => Math.max(a, b), -Infinity) -
      values.reduce((a, b) => Math.min(a, b), Infinity);
    const length = own.reduce((sum, edge) => sum + edgeLength(edge), 0);
    sizes.set(part, { length, extent: Math.hypot(span(xs), span(ys)) });
  }
  return sizes;
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
  readonly ends: readonly [End, End];
  readonly kind: Join['kind'];
  readonly isSecond: boolean;
  readonly movedBy: number | undefined;
}

/** Splits edges where joins begin, and adds the joins. */
function withJoins(
  graph: LineGraph,
  wanted: readonly Wanted[],
  atNodeMm: number,
): Pick<Joined, 'graph' | 'joins' | 'dots'> {
  const cuts = cutsOf(graph, atNodeMm);
  const nodeFor = (end: End): number =>
    end.edge === undefined || end.at === undefined
      ? cuts.nodeAt(end)
      : cuts.nodeOn(end.edge, end.at);
  const joins = wanted.map(({ ends: [from, to], kind, isSecond, movedBy }): Join => ({
    from: { x: from.x, y: from.y },
    to: { x: to.x, y: to.y },
    kind,
    isSecond,
    movedBy,
  }));
  const added = wanted.flatMap(({ ends, kind }, k): LineEdge[] => {
    const [from, to] = ends.map(nodeFor);
    const places = [cuts.placeOf(from), cuts.placeOf(to)] as const;
    const lines = kind === 'line' ? [straight(...places)] : ring(...places);
    return from === to ? [] : lines.map((line) => ({ from, to, ...line, join: joins[k] }));
  });
  const joined = new Set(added.flatMap(({ from, to }) => [from, to]));
  const { nodes, edges } = cuts.done();
  // A dot that something joins is the join's own end.
  const dots = graph.edges.filter((edge) => isDot(edge) && joined.has(edge.from));
  const kept = edges.flatMap((pieces, k) => (dots.includes(graph.edges[k]) ? [] : pieces));
  return { graph: { nodes, edges: [...kept, ...added] }, joins, dots };
}

/** What is no longer than this, in mm, is a dot. */
const DOT_MM = 0.3;

const isDot = (edge: LineEdge): boolean => edge.from !== edge.to && edgeLength(edge) < DOT_MM;

function straight(a: Point, b: Point): Pick<LineEdge, 'x' | 'y'> {
  return { x: [a.x, b.x], y: [a.y, b.y] };
}

/** Points on half of a ring. */
const HALF_RING = 24;

function ring(a: Point, b: Point): Pick<LineEdge, 'x' | 'y'>[] {
  const [cx, cy] = [(a.x + b.x) / 2, (a.y + b.y) / 2];
  return [1, -1].map((side) => {
    const turned = Array.from(
      { length: HALF_RING + 1 },
      (_, k) => (side * Math.PI * k) / HALF_RING,
    );
    return {
      x: turned.map((t) => cx + (a.x - cx) * Math.cos(t) - (a.y - cy) * Math.sin(t)),
      y: turned.map((t) => cy + (a.x - cx) * Math.sin(t) + (a.y - cy) * Math.cos(t)),
    };
  });
}
