import { midpoint } from '../../geometry/points.js';
import type { Bounds } from '../../geometry/bounding-box.js';
import type { Place, StrokeEdit } from '../../settings/edits.js';
import type { Job } from '../../settings/job.js';
import type { Point } from '../../geometry/shape.js';
import { pointToSegment } from '../../geometry/segment.js';
import type { Lines } from '../lines/lines.js';
import { withDrawnLine } from './drawn-line.js';
import { joinParts, type JoinEdit, type JoinSettings } from './joins.js';
import type { Join, LineGraph } from './line-graph.js';
import { perceivedLines, withoutShort, type TrailSettings } from './stroke-trails.js';

/** An edit that does nothing: no stroke passes there, all of it lies on lines that are there, or off the sheet. */
export interface UnusedStrokeEdit {
  readonly index: number;
  readonly at: Point;
  readonly why: 'no-stroke' | 'covered' | 'off-sheet';
}

/** The lines of a drawing after a person's edits, with what she says about joins. */
export interface EditedLines {
  readonly graph: LineGraph;
  readonly fills: Lines['fills'];
  readonly joinEdits: readonly JoinEdit[];
  readonly unused: readonly UnusedStrokeEdit[];
}

type EditSettings = JoinSettings & TrailSettings & Pick<Job, 'strokeEdits'>;

/**
 * Lays a person's edits over lines, one after the other: which strokes there are to take one away from follows from those
 * before.
 *
 * @param room where the middle of a line may lie
 */
export function withStrokeEdits(
  { graph, fills }: Pick<Lines, 'graph' | 'fills'>,
  job: EditSettings,
  room: Bounds,
): EditedLines {
  let edited: EditedLines = { graph, fills, joinEdits: [], unused: [] };
  job.strokeEdits.forEach((edit, index) => {
    const next =
      edit.do === 'draw'
        ? withLineDrawn(edited, index, edit.along.map(pointOf), job, room)
        : edit.do === 'move'
          ? withJoinMoved(edited, index, edit)
          : withLineRemoved(edited, index, pointOf(edit.at), job);
    if (typeof next !== 'string') edited = { ...edited, ...next };
    else {
      const at = pointOf(edit.do === 'draw' ? edit.along[0] : edit.at);
      edited = { ...edited, unused: [...edited.unused, { index, at, why: next }] };
    }
  });
  return edited;
}

const pointOf = ([x, y]: Place): Point => ({ x, y });

type Moving = Extract<StrokeEdit, { do: 'move' }>;
type Change = Partial<EditedLines> | UnusedStrokeEdit['why'];

function withLineDrawn(
  { graph }: EditedLines,
  index: number,
  along: readonly Point[],
  job: EditSettings,
  room: Bounds,
): Change {
  const next = withDrawnLine(graph, along, index, job.beadWidth, room);
  return typeof next === 'string' ? next : { graph: next };
}

function withJoinMoved(
  { joinEdits }: EditedLines,
  index: number,
  { at, from, to }: Moving,
): Change {
  const ends = [pointOf(from), pointOf(to)] as const;
  return { joinEdits: [...joinEdits, { index, at: pointOf(at), to: ends }] };
}

/** Takes away what passes a place within a line's width: a fill, a join, or a line as far as the eye follows it. */
function withLineRemoved(
  { graph, fills, joinEdits }: EditedLines,
  index: number,
  at: Point,
  job: EditSettings,
): Change {
  const joined = joinParts(graph, job, joinEdits);
  const kept = withoutShort(joined.graph, job);
  const [edge, off] = nearestLine(kept.graph.edges, at, job.beadWidth);
  const [fill, offFill] = nearestLine(fills, at, job.beadWidth);
  if (fill >= 0 && offFill < off) return { fills: fills.filter((_, k) => k !== fill) };
  if (edge < 0) return 'no-stroke';
  const { join } = kept.graph.edges[edge];
  if (join) return { joinEdits: withoutJoin(joinEdits, join, index) };
  const line = perceivedLines(kept, job.beadWidth).find((one) => one.includes(edge));
  const gone = new Set(line?.map((one) => kept.graph.edges[one]));
  const edges = joined.graph.edges.filter((one) => !one.join && !gone.has(one));
  return { graph: { nodes: joined.graph.nodes, edges: [...edges, ...joined.dots] } };
}

/** A join that is taken away: one that was moved before, without its new ends. */
function withoutJoin(joinEdits: readonly JoinEdit[], join: Join, index: number): JoinEdit[] {
  if (join.movedBy === undefined)
    return [...joinEdits, { index, at: midpoint(join.from, join.to) }];
  return joinEdits.map((one) => (one.index === join.movedBy ? { index, at: one.at } : one));
}

/** A line in mm. */
interface Line {
  readonly x: readonly number[];
  readonly y: readonly number[];
}

/** The number of the line that is nearest to a place and how far it is, or −1 and the reach when none is as near. */
function nearestLine(
  lines: readonly Line[],
  at: Point,
  reachMm: number,
): readonly [line: number, off: number] {
  let [best, least] = [-1, reachMm];
  lines.forEach(({ x, y }, k) => {
    for (let i = 0; i < x.length; i++) {
      const before = Math.max(0, i - 1);
      const off = pointToSegment(at, { x: x[before], y: y[before] }, { x: x[i], y: y[i] });
      if (off < least) [best, least] = [k, off];
    }
  });
  return [best, least];
}
