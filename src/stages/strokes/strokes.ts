import type { Sheet } from '../../settings/card.js';
import type { Job } from '../../settings/job.js';
import { lengthOf as chainLength, type Chain } from '../../geometry/chain.js';
import { fitLine } from '../../geometry/fit-line.js';
import { bendRadius, smoothLine, type SmoothedLine } from '../../geometry/smooth-line.js';
import type { Point } from '../../geometry/shape.js';
import { fewestTrails, trailsThrough, type EdgeEnd, type Trail } from '../../graphs/trails.js';
import { unionFind } from '../../graphs/union-find.js';
import type { CentreEdge, CentrelineGraph } from '../../raster/centreline-graph.js';
import { findRegions, regionOf } from '../../raster/labels.js';
import type { Bitmap, Box } from '../../raster/raster.js';
import { stampLine } from '../../raster/stamp-line.js';
import type { Lines } from '../lines/lines.js';
import type { Picture } from '../read/read.js';
import { drawBeads, type RunTogether } from './beads.js';
import { glueFor, type Glue, type GlueSettings } from './glue.js';
import { joinParts, type Join, type JoinSettings } from './joins.js';
import { orderStrokes } from './order.js';

/** A line of glue that is drawn without a stop, in mm. */
export interface GlueStroke {
  /** Its place in the order, from 1. */
  readonly number: number;
  /** Points along it, from its start; the first of a closed one is its last, too. */
  readonly x: Float64Array;
  readonly y: Float64Array;
  /** Curves along it: eight numbers each, start, controls and end. */
  readonly curves: readonly Float64Array[];
  /** By point: 1 where the hand stops and turns. */
  readonly corner: Uint8Array;
  readonly isClosed: boolean;
  readonly kind: 'line' | 'dot' | 'fill';
  readonly lengthMm: number;
  /** From the end of the one before, mm; 0 for the first. */
  readonly travelMm: number;
}

/** A drawing in glue, and its beads on a raster. */
export interface Strokes {
  readonly drawn: DrawnStrokes;
  /** The beads on the raster of the picture: 1 is glue. */
  readonly bitmap: Bitmap;
  /** The pixels that hold them. */
  readonly frame: Box;
}

/** A drawing in glue. */
export interface DrawnStrokes {
  /** In the order in which they are drawn. */
  readonly strokes: readonly GlueStroke[];
  /** The fewest strokes that any hand could draw these lines in, passing places twice. */
  readonly fewest: number;
  readonly joins: readonly Join[];
  /** Parts that did not hang together. */
  readonly parts: number;
  readonly glue: Glue;
  readonly travelMm: number;
  /** Places where beads are nearer to each other than they may be, and run together. */
  readonly runTogether: readonly RunTogether[];
  /** Places that bend more tightly than a hand can draw. */
  readonly tightBends: readonly Point[];
  readonly lost: Pick<Lines, 'partsDropped' | 'endsDropped' | 'closed' | 'masses'>;
}

export type StrokeSettings = JoinSettings &
  GlueSettings &
  Pick<
    Job,
    | 'handedness'
    | 'margin'
    | 'narrowestStrip'
    | 'shortestStroke'
    | 'highestCrossing'
    | 'smallestOpening'
  >;

/** From point to point of a stroke, mm: what a hand can't tell from a curve. */
const STEP_MM = 0.5;
/** Waves shorter than so many bead widths are the picture's grain, not the line's. */
const WAVE = 2.5;
/** A corner is told by the line's direction over so many bead widths to either side. */
const CORNER = 0.9;
/** A tight bend is eased by no more than so many bead widths: the bead covers what it was. */
const MOST_OFF = 0.25;
/** How far curves may lie off the points, mm. */
const OFF_MM = 0.05;
/** The direction of a line at a node is taken over so many bead widths. */
const DIRECTION = 1.2;
/** A line that ends at another stops so far from its middle, in bead widths: their beads touch and don't pile up. */
const STOPS_AT = 0.45;
/** Of its own last stretch, so many bead widths, a line's end does not look for a line to end at. */
const OWN_END = 2.5;
/** What a quotient of heights may be off by in binary. */
const ROUNDING = 1e-6;
/** A stroke shorter than this, in bead widths, is a dot: press, and lift. */
const DOT = 0.5;
/** A bend that is told is tighter than the limit by more than the smoothing's own error. */
const SLACK = 0.8;

/** Turns lines into strokes: few, long and smooth, all in one piece, in the order in which they are drawn. */
export function strokes(
  { graph, fills, ...lost }: Lines,
  { pixelsPerMm, gray, sheet }: Pick<Picture, 'pixelsPerMm' | 'gray' | 'sheet'>,
  job: StrokeSettings,
): Strokes {
  const joined = joinParts(graph, job);
  const kept = withoutShort(joined.graph, job);
  const drafted = kept.trails.map((trail) => draftOf(kept.graph, trail, job));
  const met = meetings(drafted, kept.graph, job.beadWidth);
  const filled = fills.map((way) => fillDraft(way, job));
  const inside = insideOf(sheet, job);
  const drafts = [...met, ...filled].map((draft) => clamped(draft, inside));
  const whole = withoutLooseFills(drafts, gray, pixelsPerMm, job);
  const drawn = orderStrokes(whole, job.handedness);
  const ordered = drawn.map(({ stroke, isBack }) =>
    isBack ? turnedRound(whole[stroke]) : whole[stroke],
  );
  const list = ordered.map((draft, k) => finished(draft, k, ordered[k - 1], job));
  const lengthMm = list.reduce((sum, one) => sum + one.lengthMm, 0);
  const travelMm = list.reduce((sum, one) => sum + one.travelMm, 0);
  const { bitmap, frame, runTogether } = drawBeads(list, gray, pixelsPerMm, job);
  const drawing: DrawnStrokes = {
    strokes: list,
    fewest: fewestTrails(kept.graph.nodes.length, kept.graph.edges) + fills.length,
    joins: joined.joins,
    parts: joined.parts,
    glue: glueFor(lengthMm, job),
    travelMm,
    tightBends: list.flatMap((one) => tightIn(one, job.tightestBend)),
    runTogether,
    lost: { ...lost, endsDropped: lost.endsDropped + kept.dropped },
  };
  return { drawn: drawing, bitmap, frame };
}

/** Without the fills that touch nothing: their mass has become too narrow for a rim. */
function withoutLooseFills(
  drafts: readonly Draft[],
  { width, height }: Pick<Bitmap, 'width' | 'height'>,
  pixelsPerMm: number,
  job: StrokeSettings,
): readonly Draft[] {
  if (!drafts.some(({ kind }) => kind === 'fill')) return drafts;
  const data = new Uint8Array(width * height);
  const px = (values: Float64Array): Float64Array => values.map((mm) => mm * pixelsPerMm);
  const radius = (job.beadWidth / 2) * pixelsPerMm;
  for (const { x, y } of drafts) stampLine(data, width, height, px(x), px(y), radius);
  const regions = findRegions({ width, height, data }, 1, 4);
  const partOf = ({ x, y }: Draft): number =>
    regionOf(regions, Math.floor(y[0] * pixelsPerMm) * width + Math.floor(x[0] * pixelsPerMm));
  const main = drafts
    .filter(({ kind }) => kind !== 'fill')
    .map(partOf)
    .at(0);
  return drafts.filter((draft) => draft.kind !== 'fill' || partOf(draft) === main);
}

/** A stroke on its way. */
interface Draft extends SmoothedLine {
  readonly isClosed: boolean;
  readonly kind: GlueStroke['kind'];
  readonly meets: readonly [boolean, boolean];
  /** The nodes at its ends. */
  readonly ends: readonly [number, number];
}

function trailsOf(graph: CentrelineGraph, job: StrokeSettings): Trail[] {
  const { nodes, edges } = graph;
  const leaves = edges.flatMap((edge) => [
    directionOf(edge, false, DIRECTION * job.beadWidth),
    directionOf(edge, true, DIRECTION * job.beadWidth),
  ]);
  const turn = (one: EdgeEnd, other: EdgeEnd): number => {
    const between = Math.abs(leaves[one] - leaves[other]) % (2 * Math.PI);
    return Math.abs(Math.PI - Math.min(between, 2 * Math.PI - between));
  };
  const layers = Math.max(1, Math.floor(job.highestCrossing / job.beadHeight + ROUNDING));
  return trailsThrough(nodes.length, edges, turn, () => layers);
}

/** A drawing's trails without those that are too short and hold nothing. */
interface Kept {
  readonly graph: CentrelineGraph;
  readonly trails: readonly Trail[];
  readonly dropped: number;
}

/** Drops strokes shorter than the shortest, one at a time, the shortest first, where all hangs together without it. */
function withoutShort(whole: CentrelineGraph, job: StrokeSettings): Kept {
  let graph = whole;
  for (let dropped = 0; ; dropped++) {
    const { nodes, edges } = graph;
    const trails = trailsOf(graph, job);
    const degree = new Int32Array(nodes.length);
    for (const { from, to } of edges) {
      degree[from]++;
      degree[to]++;
    }
    const short = trails
      .map(({ steps }) => {
        const ends = endsOf(steps, edges);
        // What is seen of a line between two others: their beads cover its ends.
        const covered = ends.every((node) => degree[node] > 1) ? 2 * STOPS_AT * job.beadWidth : 0;
        const length = steps.reduce((sum, { edge }) => sum + lengthOf(edges[edge]), -covered);
        return { steps, length };
      })
      .filter(({ length }) => length < job.shortestStroke)
      .sort((a, b) => a.length - b.length);
    const hangs = partsIn(graph);
    const found = short.find(({ steps }) => {
      const gone = new Set(steps.map(({ edge }) => edge));
      const rest = { nodes, edges: edges.filter((_, k) => !gone.has(k)) };
      return rest.edges.length > 0 && partsIn(rest) === hangs;
    });
    if (!found) return { graph, trails, dropped };
    const gone = new Set(found.steps.map(({ edge }) => edge));
    graph = { nodes, edges: edges.filter((_, k) => !gone.has(k)) };
  }
}

/** The nodes at which a trail begins and ends. */
function endsOf(steps: Trail['steps'], edges: readonly CentreEdge[]): readonly [number, number] {
  const [first, last] = [steps[0], steps[steps.length - 1]];
  return [
    first.isForward ? edges[first.edge].from : edges[first.edge].to,
    last.isForward ? edges[last.edge].to : edges[last.edge].from,
  ];
}

/** How many parts the edges are in. */
function partsIn({ nodes, edges }: CentrelineGraph): number {
  const joined = unionFind(nodes.length);
  for (const { from, to } of edges) joined.unite(from, to);
  return new Set(edges.map(({ from }) => joined.find(from))).size;
}

function lengthOf({ x, y }: CentreEdge): number {
  return chainLength(Float64Array.from(x), Float64Array.from(y));
}

/** The direction in which an edge leaves one of its ends, in radians. */
function directionOf({ x, y }: CentreEdge, isEnd: boolean, reachMm: number): number {
  const last = x.length - 1;
  const at = (k: number): number => (isEnd ? last - k : k);
  let [k, passed] = [0, 0];
  while (k < last && passed < reachMm) {
    k++;
    passed += Math.hypot(x[at(k)] - x[at(k - 1)], y[at(k)] - y[at(k - 1)]);
  }
  return Math.atan2(y[at(k)] - y[at(0)], x[at(k)] - x[at(0)]);
}

function draftOf({ edges }: CentrelineGraph, trail: Trail, job: StrokeSettings): Draft {
  const x: number[] = [];
  const y: number[] = [];
  for (const { edge, isForward } of trail.steps) {
    const own = edges[edge];
    const skipped = x.length > 0 ? 1 : 0;
    x.push(...(isForward ? own.x : own.x.toReversed()).slice(skipped));
    y.push(...(isForward ? own.y : own.y.toReversed()).slice(skipped));
  }
  const closed = trail.isClosed && x.length > 4;
  const line = {
    x: Float64Array.from(closed ? x.slice(0, -1) : x),
    y: Float64Array.from(closed ? y.slice(0, -1) : y),
  };
  const length = chainLength(line.x, line.y);
  const smooth =
    length < DOT * job.beadWidth
      ? { ...line, corner: new Uint8Array(line.x.length) }
      : smoothLine(line, {
          stepMm: STEP_MM,
          waveMm: Math.min(WAVE * job.beadWidth, length),
          tightestMm: job.tightestBend,
          cornerMm: CORNER * job.beadWidth,
          mostOffMm: MOST_OFF * job.beadWidth,
          isClosed: closed,
        });
  return {
    ...smooth,
    isClosed: closed,
    kind: length < DOT * job.beadWidth ? 'dot' : 'line',
    meets: [false, false],
    ends: endsOf(trail.steps, edges),
  };
}

function fillDraft({ x, y }: Lines['fills'][number], job: StrokeSettings): Draft {
  const line = { x: Float64Array.from(x), y: Float64Array.from(y) };
  const length = chainLength(line.x, line.y);
  const isDot = length < DOT * job.beadWidth || x.length < 3;
  const smooth = isDot
    ? { ...line, corner: new Uint8Array(line.x.length) }
    : smoothLine(line, {
        stepMm: STEP_MM,
        waveMm: job.beadWidth / 2,
        tightestMm: 0,
        cornerMm: 0,
        mostOffMm: 0,
        isClosed: false,
      });
  return { ...smooth, isClosed: false, kind: 'fill', meets: [false, false], ends: [-1, -1] };
}

/**
 * Brings the ends of lines to the lines that they end at, which smoothing has moved, and stops them at the side of
 * those: a start or stop inside a junction shows least.
 */
function meetings(drafts: readonly Draft[], graph: CentrelineGraph, beadMm: number): Draft[] {
  return drafts.map((draft, k): Draft => {
    if (draft.isClosed) return draft;
    let own: SmoothedLine = { x: draft.x, y: draft.y, corner: draft.corner };
    const meets = draft.ends.map((node, end) => {
      const to = nearestOther(drafts, k, graph.nodes[node], own, end === 1, beadMm);
      if (!to) return false;
      own = endingAt(own, end === 1, to, beadMm);
      return true;
    });
    return { ...draft, ...own, meets: [meets[0], meets[1]] };
  });
}

/** A place on a stroke where another one ends. */
interface Meeting extends Point {
  /** Whether the stroke ends there itself: then neither stops short of the other. */
  readonly isEnd: boolean;
}

/** So many points of a stroke are its end. */
const AT_END = 3;

/** The place on the strokes near a node that is nearest to it; the end's own last stretch is not looked at. */
function nearestOther(
  drafts: readonly Draft[],
  k: number,
  node: Point,
  own: Chain,
  isEnd: boolean,
  beadMm: number,
): Meeting | undefined {
  let found: Meeting | undefined;
  let least = beadMm;
  drafts.forEach((draft, j) => {
    const { x, y } = j === k ? own : draft;
    const skip = j === k ? Math.ceil((OWN_END * beadMm) / STEP_MM) : 0;
    const [from, to] = isEnd ? [0, x.length - skip] : [skip, x.length];
    for (let i = from; i < to; i++) {
      const off = Math.hypot(x[i] - node.x, y[i] - node.y);
      if (off >= least) continue;
      const isEnd = !draft.isClosed && (i < AT_END || i >= x.length - AT_END);
      [least, found] = [off, { x: x[i], y: y[i], isEnd }];
    }
  });
  return found;
}

/** A line whose end is moved to a place, its last stretch with it, and cut off at the side of the bead there. */
function endingAt(line: SmoothedLine, isEnd: boolean, to: Meeting, beadMm: number): SmoothedLine {
  const x = isEnd ? Float64Array.from(line.x) : line.x.toReversed();
  const y = isEnd ? Float64Array.from(line.y) : line.y.toReversed();
  const last = x.length - 1;
  const [dx, dy] = [to.x - x[last], to.y - y[last]];
  const reach = 2 * beadMm;
  let passed = 0;
  const moved = { x: x.slice(), y: y.slice() };
  for (let i = last; i >= 0 && passed < reach; i--) {
    const share = (1 + Math.cos((Math.PI * passed) / reach)) / 2;
    moved.x[i] += share * dx;
    moved.y[i] += share * dy;
    if (i > 0) passed += Math.hypot(x[i] - x[i - 1], y[i] - y[i - 1]);
  }
  let keep = last;
  const stop = to.isEnd ? 0 : STOPS_AT * beadMm;
  while (keep > 1 && Math.hypot(moved.x[keep] - to.x, moved.y[keep] - to.y) < stop) keep--;
  const corner = isEnd ? line.corner : line.corner.toReversed();
  const cut = {
    x: moved.x.slice(0, keep + 1),
    y: moved.y.slice(0, keep + 1),
    corner: corner.slice(0, keep + 1),
  };
  return isEnd ? cut : { x: cut.x.reverse(), y: cut.y.reverse(), corner: cut.corner.reverse() };
}

/** Where the middle of a line may lie so that its bead stays inside the margin, mm. */
interface Inside {
  readonly least: number;
  readonly mostX: number;
  readonly mostY: number;
}

/** What is kept free beside the margin, for what the raster rounds, mm. */
const BESIDE_MARGIN_MM = 0.2;

function insideOf({ widthMm, heightMm }: Sheet, job: StrokeSettings): Inside {
  const least = job.margin + job.beadWidth / 2 + BESIDE_MARGIN_MM;
  return { least, mostX: widthMm - least, mostY: heightMm - least };
}

function clamped(draft: Draft, { least, mostX, mostY }: Inside): Draft {
  return {
    ...draft,
    x: draft.x.map((x) => Math.min(mostX, Math.max(least, x))),
    y: draft.y.map((y) => Math.min(mostY, Math.max(least, y))),
  };
}

function turnedRound(draft: Draft): Draft {
  const [first, second] = draft.meets;
  return {
    ...draft,
    x: draft.x.toReversed(),
    y: draft.y.toReversed(),
    corner: draft.corner.toReversed(),
    meets: [second, first],
  };
}

function finished(
  draft: Draft,
  k: number,
  before: Draft | undefined,
  job: StrokeSettings,
): GlueStroke {
  const { isClosed, kind } = draft;
  const first = (values: Float64Array): Float64Array =>
    isClosed ? Float64Array.from([...values, values[0]]) : values;
  const [x, y] = [first(draft.x), first(draft.y)];
  const last = before && (before.isClosed ? 0 : before.x.length - 1);
  const travelMm =
    before === undefined || last === undefined
      ? 0
      : Math.hypot(x[0] - before.x[last], y[0] - before.y[last]);
  return {
    number: k + 1,
    x,
    y,
    curves: fitLine(draft, isClosed, OFF_MM),
    corner: isClosed ? Uint8Array.from([...draft.corner, draft.corner[0]]) : draft.corner,
    isClosed,
    kind,
    // A dot takes about as much as a bead that is as long as it is wide.
    lengthMm: Math.max(chainLength(x, y), kind === 'dot' ? job.beadWidth / 2 : 0),
    travelMm,
  };
}

function tightIn({ x, y, corner, kind }: GlueStroke, tightestMm: number): Point[] {
  if (kind !== 'line') return [];
  const places: Point[] = [];
  let until = -1;
  for (let i = 2; i + 2 < x.length; i++) {
    if (i < until || corner.subarray(i - 2, i + 3).includes(1)) continue;
    if (bendRadius({ x, y }, i - 2, i, i + 2) >= SLACK * tightestMm) continue;
    places.push({ x: x[i], y: y[i] });
    until = i + Math.ceil((3 * tightestMm) / STEP_MM);
  }
  return places;
}
