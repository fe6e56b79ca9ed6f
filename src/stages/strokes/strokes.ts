import { insideOfMargin, type Bounds } from '../../geometry/bounding-box.js';
import type { Sheet } from '../../settings/card.js';
import type { Job } from '../../settings/job.js';
import { chainLength, type Chain } from '../../geometry/chain.js';
import { fitLine } from '../../geometry/fit-line.js';
import { bendRadius, smoothLine, type SmoothedLine } from '../../geometry/smooth-line.js';
import type { Point } from '../../geometry/shape.js';
import { fewestTrails, type Trail } from '../../graphs/trails.js';
import { findRegions, regionOf } from '../../raster/labels.js';
import type { Bitmap, Box } from '../../raster/raster.js';
import { stampLine } from '../../raster/stamp-line.js';
import type { Way } from '../lines/fill.js';
import type { Lines } from '../lines/lines.js';
import type { Picture } from '../read/read.js';
import { rasteriseBeads, type RunTogether } from './beads.js';
import { glueConsumption, type GlueConsumption, type GlueSettings } from './glue-consumption.js';
import { joinParts, type JoinEdit, type JoinSettings } from './joins.js';
import type { Join, LineGraph } from './line-graph.js';
import { withStrokeEdits, type UnusedStrokeEdit } from './stroke-edits.js';
import {
  endsOf,
  perceivedLines,
  STOPS_AT,
  withoutShort,
  type PrunedTrails,
} from './stroke-trails.js';
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
  readonly pictureBox: Box;
}

/** A line as the eye tells it from others, in mm. */
export interface DrawnLine {
  readonly ways: readonly Way[];
  /** The edit by which a person drew it, as it is numbered. */
  readonly drawnBy: number | undefined;
}

/** A drawing in glue. */
export interface DrawnStrokes {
  /** In the order in which they are drawn. */
  readonly strokes: readonly GlueStroke[];
  /** The fewest strokes that any hand could draw these lines in, passing places twice. */
  readonly fewest: number;
  readonly joins: readonly Join[];
  /** The lines as the eye tells them apart, before they were smoothed, without joins: what a person can take away. */
  readonly lines: readonly DrawnLine[];
  /** Parts that did not hang together. */
  readonly parts: number;
  readonly glue: GlueConsumption;
  readonly travelMm: number;
  /** The edits of joins after which parts do not hang together any more. */
  readonly broken: readonly JoinEdit[];
  readonly unusedEdits: readonly UnusedStrokeEdit[];
  /** Places where beads are nearer to each other than they may be, and run together. */
  readonly runTogether: readonly RunTogether[];
  /** Places that bend more tightly than a hand can draw. */
  readonly tightBends: readonly Point[];
  readonly lost: Pick<Lines, 'partsDropped' | 'endsDropped' | 'thinned' | 'closed' | 'masses'>;
}

export type StrokeSettings = JoinSettings &
  GlueSettings &
  Pick<
    Job,
    | 'handedness'
    | 'glueUse'
    | 'strokeEdits'
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
/** Of its own last stretch, so many bead widths, a line's end does not look for a line to end at. */
const OWN_END = 2.5;
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
  const inside = roomForMiddles(sheet, job);
  const edited = withStrokeEdits({ graph, fills }, job, inside);
  const joined = joinParts(edited.graph, job, edited.joinEdits);
  const kept = withoutShort(joined.graph, job);
  const drafted = kept.trails.map((trail) => draftOf(kept.graph, trail, job));
  const met = meetings(drafted, kept.graph, job.beadWidth);
  const filled = edited.fills.map((way) => fillDraft(way, job));
  const drafts = [...met, ...filled].map((draft) => clamped(draft, inside));
  const whole = withoutLooseFills(drafts, gray, pixelsPerMm, job);
  const drawn = orderStrokes(whole, handOnPicture(job));
  const ordered = drawn.map(({ stroke, isBack }) =>
    isBack ? turnedRound(whole[stroke]) : whole[stroke],
  );
  const list = ordered.map((draft, k) => finished(draft, k, ordered[k - 1], job));
  const lengthMm = list.reduce((sum, one) => sum + one.lengthMm, 0);
  const travelMm = list.reduce((sum, one) => sum + one.travelMm, 0);
  const { bitmap, pictureBox, runTogether } = rasteriseBeads(list, gray, pixelsPerMm, job);
  const drawing: DrawnStrokes = {
    strokes: list,
    fewest: fewestTrails(kept.graph.nodes.length, kept.graph.edges) + edited.fills.length,
    joins: joined.joins,
    lines: drawnLines(kept, edited.fills, job.beadWidth),
    parts: joined.parts,
    glue: glueConsumption(lengthMm, job),
    travelMm,
    tightBends: list.flatMap((one) => tightIn(one, job.tightestBend)),
    runTogether,
    broken: joined.broken,
    unusedEdits: edited.unused,
    lost: { ...lost, endsDropped: lost.endsDropped + kept.dropped },
  };
  return { drawn: drawing, bitmap, pictureBox };
}

/** The hand as the picture sees it: what is printed with is drawn mirrored, and so from the other side. */
function handOnPicture({ handedness, glueUse }: StrokeSettings): Job['handedness'] {
  if (glueUse === 'spray-round') return handedness;
  return handedness === 'right' ? 'left' : 'right';
}

function drawnLines(kept: PrunedTrails, fills: readonly Way[], beadWidth: number): DrawnLine[] {
  const own = perceivedLines(kept, beadWidth).map((line) =>
    line.map((edge) => kept.graph.edges[edge]),
  );
  return [
    ...own
      .filter(([first]) => !first.join)
      .map((ways): DrawnLine => ({ ways, drawnBy: ways[0].drawnBy })),
    ...fills.map((way): DrawnLine => ({ ways: [way], drawnBy: undefined })),
  ];
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
  const drawn = new Set(drafts.filter(({ kind }) => kind !== 'fill').map(partOf));
  return drafts.filter((draft) => draft.kind !== 'fill' || drawn.has(partOf(draft)));
}

/** A stroke on its way. */
interface Draft extends SmoothedLine {
  readonly isClosed: boolean;
  readonly kind: GlueStroke['kind'];
  readonly meets: readonly [boolean, boolean];
  /** The nodes at its ends. */
  readonly ends: readonly [number, number];
}

function draftOf({ edges }: LineGraph, trail: Trail, job: StrokeSettings): Draft {
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
function meetings(drafts: readonly Draft[], graph: LineGraph, beadMm: number): Draft[] {
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

/** What is kept free beside the margin, for what the raster rounds, mm. */
const BESIDE_MARGIN_MM = 0.2;

/** Where the middle of a line may lie so that its bead stays inside the margin. */
const roomForMiddles = (sheet: Sheet, { margin, beadWidth }: StrokeSettings): Bounds =>
  insideOfMargin(sheet, margin + beadWidth / 2 + BESIDE_MARGIN_MM);

function clamped(draft: Draft, { left, top, right, bottom }: Bounds): Draft {
  return {
    ...draft,
    x: draft.x.map((x) => Math.min(right, Math.max(left, x))),
    y: draft.y.map((y) => Math.min(bottom, Math.max(top, y))),
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
