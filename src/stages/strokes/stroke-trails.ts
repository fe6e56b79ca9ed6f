import type { Job } from '../../settings/job.js';
import { GOES_ON, turnsIn } from '../../geometry/continuation.js';
import { degreesOf } from '../../graphs/degrees.js';
import { trailsThrough, type Trail } from '../../graphs/trails.js';
import { countParts, edgeLength, type LineEdge, type LineGraph } from './line-graph.js';

export type TrailSettings = Pick<
  Job,
  'beadWidth' | 'beadHeight' | 'shortestStroke' | 'highestCrossing'
>;

/** A line that ends at another stops so far from its middle, in bead widths: their beads touch and don't pile up. */
export const STOPS_AT = 0.45;
/** The direction of a line at a node is taken over so many bead widths. */
const DIRECTION = 1.2;
/** What a quotient of heights may be off by in binary. */
const ROUNDING = 1e-6;

function trailsOf({ nodes, edges }: LineGraph, job: TrailSettings): Trail[] {
  const turn = turnsIn(edges, DIRECTION * job.beadWidth);
  const layers = Math.max(1, Math.floor(job.highestCrossing / job.beadHeight + ROUNDING));
  return trailsThrough(nodes.length, edges, turn, () => layers);
}

/** A drawing's trails without those that are too short and hold nothing. */
export interface PrunedTrails {
  readonly graph: LineGraph;
  readonly trails: readonly Trail[];
  readonly dropped: number;
}

/** Drops strokes shorter than the shortest, one at a time, the shortest first, where all hangs together without it. */
export function withoutShort(whole: LineGraph, job: TrailSettings): PrunedTrails {
  let graph = whole;
  for (let dropped = 0; ; dropped++) {
    const { nodes, edges } = graph;
    const trails = trailsOf(graph, job);
    const degree = degreesOf(nodes.length, edges);
    const short = trails
      // What a person drew stays, however short.
      .filter(({ steps }) => steps.every(({ edge }) => !isByHand(edges[edge])))
      .map(({ steps }) => {
        const ends = endsOf(steps, edges);
        // What is seen of a line between two others: their beads cover its ends.
        const covered = ends.every((node) => degree[node] > 1) ? 2 * STOPS_AT * job.beadWidth : 0;
        const length = steps.reduce((sum, { edge }) => sum + edgeLength(edges[edge]), -covered);
        return { steps, length };
      })
      .filter(({ length }) => length < job.shortestStroke)
      .sort((a, b) => a.length - b.length);
    const hangs = countParts(graph);
    const found = short.find(({ steps }) => {
      const gone = new Set(steps.map(({ edge }) => edge));
      const rest = { nodes, edges: edges.filter((_, k) => !gone.has(k)) };
      return rest.edges.length > 0 && countParts(rest) === hangs;
    });
    if (!found) return { graph, trails, dropped };
    const gone = new Set(found.steps.map(({ edge }) => edge));
    graph = { nodes, edges: edges.filter((_, k) => !gone.has(k)) };
  }
}

/**
 * The lines of a drawing as the eye tells them apart, each as numbers of edges: a stroke, parted where it goes over from
 * the picture to a join or to what a person drew, and where it turns sharply at a place where lines meet.
 */
export function perceivedLines(
  { graph, trails }: Pick<PrunedTrails, 'graph' | 'trails'>,
  beadWidth: number,
): number[][] {
  const { nodes, edges } = graph;
  const turn = turnsIn(edges, DIRECTION * beadWidth);
  const degree = degreesOf(nodes.length, edges);
  type Step = Trail['steps'][number];
  const goesOn = (a: Step, b: Step): boolean => {
    const [one, other] = [edges[a.edge], edges[b.edge]];
    if (one.join !== other.join || one.drawnBy !== other.drawnBy) return false;
    const isMeeting = degree[a.isForward ? one.to : one.from] > 2;
    const ends = [2 * a.edge + Number(a.isForward), 2 * b.edge + Number(!b.isForward)] as const;
    return !isMeeting || turn(...ends) < GOES_ON;
  };
  return trails.flatMap(({ steps, isClosed }) => {
    const lines: Step[][] = [];
    steps.forEach((step, k) => {
      if (k > 0 && goesOn(steps[k - 1], step)) lines[lines.length - 1].push(step);
      else lines.push([step]);
    });
    const isWhole = isClosed && lines.length > 1 && goesOn(steps[steps.length - 1], steps[0]);
    if (isWhole) lines[0].unshift(...lines.pop()!);
    return lines.map((line) => line.map(({ edge }) => edge));
  });
}

const isByHand = ({ drawnBy, join }: LineEdge): boolean =>
  drawnBy !== undefined || join?.movedBy !== undefined;

/** The nodes at which a trail begins and ends. */
export function endsOf(
  steps: Trail['steps'],
  edges: readonly LineEdge[],
): readonly [number, number] {
  const [first, last] = [steps[0], steps[steps.length - 1]];
  return [
    first.isForward ? edges[first.edge].from : edges[first.edge].to,
    last.isForward ? edges[last.edge].to : edges[last.edge].from,
  ];
}
