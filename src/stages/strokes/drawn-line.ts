import type { Bounds } from '../../geometry/bounding-box.js';
import { evenly, chainLength } from '../../geometry/chain.js';
import type { Point } from '../../geometry/shape.js';
import { cutsOf, type Cuts, type LineEdge, type LineGraph } from './line-graph.js';

/** In bead widths: from point to point along a drawn line. */
const STEP = 0.1;
/** A line that passes another by no more than this, in bead widths, crosses it or runs along it. */
const TOUCHES = 0.5;
/** An end this near to a line, in bead widths, ends at it: their beads touch. */
const ENDS_AT = 1;
/** Between two meetings with lines there is at least so much of a drawn line, in bead widths. */
const APART = 1;
/** Of itself a line meets what is further away along it than this, in bead widths. */
const OWN = 2.5;
/** A line that is brought to another bends over so many bead widths. */
const BENDS_OVER = 1.5;
/** A meeting this near to a node, in bead widths, is at it. */
const AT_NODE = 0.6;
/** A piece that lies on lines by this share, no further off than so many bead widths, is drawn already. */
const COVERED = 0.9;
const ON_LINE = 0.35;
/** A line shorter than this, in bead widths, is no line. */
const SHORTEST = 0.5;

/** A meeting of a drawn line, at its point i, with an edge or with itself. */
interface Meeting {
  readonly i: number;
  readonly on: { readonly edge: number; readonly at: number } | { readonly own: number };
}

/** What a point of a drawn line is nearest to, and how far that is. */
interface Near {
  readonly on: Meeting['on'];
  readonly off: number;
}

/**
 * Lays a line that a person drew among others: where it crosses one they meet in a node, an end that touches one ends at
 * it, and what lies on lines that are there is left out.
 *
 * @param along in mm
 * @param drawnBy the number of the edit
 * @param beadMm the width of a line
 * @returns the graph, or why nothing is laid
 */
export function withDrawnLine(
  graph: LineGraph,
  along: readonly Point[],
  drawnBy: number,
  beadMm: number,
  room: Bounds,
): LineGraph | 'covered' | 'off-sheet' {
  const line = densely(along, beadMm, room);
  if (!line) return 'off-sheet';
  const places = placesOf(graph, line, ENDS_AT * beadMm);
  const near = line.map((_, i) => nearestTo(line, i, places, beadMm));
  const met = meetingsOf(line, near, beadMm);
  const [first, last] = [met.first ?? 0, met.last ?? line.length - 1];
  const cuts = cutsOf(graph, AT_NODE * beadMm);
  const nodes = nodesOf(line, met.list, [first, last], cuts);
  const bent = bentTo(line, nodes, cuts, BENDS_OVER * beadMm);
  const at = [...nodes.keys()].sort((a, b) => a - b);
  const pieces = at.slice(1).flatMap((end, k): LineEdge[] => {
    const start = at[k];
    const covered = near.slice(start, end + 1).filter((one) => one && 'edge' in one.on && one.off <= ON_LINE * beadMm); // prettier-ignore
    if (covered.length >= COVERED * (end + 1 - start)) return [];
    const own = bent.slice(start, end + 1);
    const [from, to] = [nodes.get(start)!, nodes.get(end)!];
    if (from === to && own.length * STEP < OWN) return [];
    return [{ from, to, x: own.map(({ x }) => x), y: own.map(({ y }) => y), drawnBy }];
  });
  if (pieces.length === 0) return 'covered';
  const cut = cuts.done();
  return { nodes: cut.nodes, edges: [...cut.edges.flat(), ...pieces] };
}

/** The line at even steps, inside the room; undefined when it lies beyond, or has no length. */
function densely(
  along: readonly Point[],
  beadMm: number,
  { left, top, right, bottom }: Bounds,
): readonly Point[] | undefined {
  const within = along.map(({ x, y }) => ({
    x: Math.min(right, Math.max(left, x)),
    y: Math.min(bottom, Math.max(top, y)),
  }));
  if (within.every(({ x, y }, i) => Math.hypot(x - along[i].x, y - along[i].y) > beadMm))
    return undefined;
  const [x, y] = [within.map((place) => place.x), within.map((place) => place.y)].map((values) => Float64Array.from(values)); // prettier-ignore
  const length = chainLength(x, y);
  if (length < SHORTEST * beadMm) return undefined;
  const even = evenly(x, y, Math.ceil(length / (STEP * beadMm)));
  return Array.from(even.x, (mm, i) => ({ x: mm, y: even.y[i] }));
}

/** Points of edges by the square of the sheet that they lie in. */
type PointGrid = ReadonlyMap<string, readonly (Point & { readonly edge: number; readonly at: number })[]>; // prettier-ignore

const squareOf = ({ x, y }: Point, side: number): readonly [number, number] => [
  Math.floor(x / side),
  Math.floor(y / side),
];

/** The points of the edges near a line, in squares as large as the reach; long steps are filled in. */
function placesOf(graph: LineGraph, line: readonly Point[], reachMm: number): PointGrid {
  const squares = new Set<string>();
  for (const place of line) {
    const [column, row] = squareOf(place, reachMm);
    for (let dx = -1; dx <= 1; dx++)
      for (let dy = -1; dy <= 1; dy++) squares.add(`${column + dx},${row + dy}`);
  }
  const found = new Map<string, (Point & { edge: number; at: number })[]>();
  graph.edges.forEach(({ x, y }, edge) => {
    x.forEach((mm, at) => {
      const place = { x: mm, y: y[at], edge, at };
      const key = squareOf(place, reachMm).join(',');
      if (!squares.has(key)) return;
      const held = found.get(key);
      if (held) held.push(place);
      else found.set(key, [place]);
    });
  });
  return found;
}

function nearestTo(
  line: readonly Point[],
  i: number,
  places: PointGrid,
  beadMm: number,
): Near | undefined {
  const side = ENDS_AT * beadMm;
  let found: Near | undefined;
  let least = side;
  const [column, row] = squareOf(line[i], side);
  for (let dx = -1; dx <= 1; dx++) {
    for (let dy = -1; dy <= 1; dy++) {
      for (const { x, y, edge, at } of places.get(`${column + dx},${row + dy}`) ?? []) {
        const off = Math.hypot(x - line[i].x, y - line[i].y);
        if (off < least) [least, found] = [off, { on: { edge, at }, off }];
      }
    }
  }
  // Of itself only what came before: a meeting is one of two points, and told at the later.
  for (let own = 0; own <= i - OWN / STEP; own++) {
    const off = Math.hypot(line[own].x - line[i].x, line[own].y - line[i].y);
    if (off < least) [least, found] = [off, { on: { own }, off }];
  }
  return found;
}

/** The meetings of a line, and where it begins and ends when one is near its ends. */
function meetingsOf(
  line: readonly Point[],
  near: readonly (Near | undefined)[],
  beadMm: number,
): { readonly list: readonly Meeting[]; readonly first?: number; readonly last?: number } {
  const taken: Meeting[] = [];
  const byOff = near
    .flatMap((one, i) => (one && one.off <= TOUCHES * beadMm ? [{ ...one, i }] : []))
    .sort((a, b) => a.off - b.off);
  for (const { i, on } of byOff)
    if (taken.every((other) => Math.abs(other.i - i) * STEP >= APART)) taken.push({ i, on });
  const end = line.length - 1;
  const nearEnd = (i: number): Meeting | undefined =>
    taken.find((meeting) => Math.abs(meeting.i - i) * STEP < APART);
  const touching = (i: number): Meeting | undefined => near[i] && { i, on: near[i].on };
  const [atFirst, atLast] = [nearEnd(0) ?? touching(0), nearEnd(end) ?? touching(end)];
  const [first, last] = [atFirst?.i ?? 0, atLast?.i ?? end];
  const list = [...taken, atFirst, atLast].filter((one) => one !== undefined);
  return { list: list.filter(({ i }) => i >= first && i <= last), first, last };
}

/** The nodes of a line, by its point: where it meets lines and itself, and its two ends. */
function nodesOf(
  line: readonly Point[],
  met: readonly Meeting[],
  ends: readonly [number, number],
  cuts: Cuts,
): Map<number, number> {
  const nodes = new Map<number, number>();
  for (const { i, on } of met) if ('edge' in on) nodes.set(i, cuts.nodeOn(on.edge, on.at));
  for (const i of ends) if (!nodes.has(i)) nodes.set(i, cuts.nodeAt(line[i]));
  for (const { i, on } of met) {
    if (!('own' in on) || on.own < ends[0]) continue;
    const near = [...nodes.keys()].find((k) => k !== i && Math.abs(k - on.own) * STEP < APART);
    const own = near ?? on.own;
    const node = nodes.get(own) ?? cuts.nodeAt(line[own]);
    nodes.set(own, node);
    nodes.set(i, node);
  }
  return nodes;
}

/** The line brought to its nodes, with what lies beside them. */
function bentTo(
  line: readonly Point[],
  nodes: ReadonlyMap<number, number>,
  cuts: Cuts,
  overMm: number,
): readonly Point[] {
  const bent = line.map(({ x, y }) => ({ x, y }));
  const step = Math.hypot(line[1].x - line[0].x, line[1].y - line[0].y);
  const reach = Math.max(1, Math.round(overMm / step));
  for (const [i, node] of nodes) {
    const { x, y } = cuts.placeOf(node);
    const [dx, dy] = [x - line[i].x, y - line[i].y];
    for (let k = Math.max(0, i - reach); k <= Math.min(line.length - 1, i + reach); k++) {
      const share = (1 + Math.cos((Math.PI * (k - i)) / reach)) / 2;
      bent[k].x += share * dx;
      bent[k].y += share * dy;
    }
  }
  for (const [i, node] of nodes) bent[i] = { ...pick(cuts.placeOf(node)) };
  return bent;
}

const pick = ({ x, y }: Point): Point => ({ x, y });
