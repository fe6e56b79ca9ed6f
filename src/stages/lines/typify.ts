import { GOES_ON, turnsIn } from '../../geometry/continuation.js';
import {
  fieldLine,
  lineFields,
  turnEnds,
  type NeighbourLine,
  type FieldLine,
} from '../../geometry/typification.js';
import { trailsThrough } from '../../graphs/trails.js';
import type { CentreEdge, CentrelineGraph } from '../../raster/centreline-graph.js';

/** A graph of lines that there is room for. */
export interface TypifiedLines {
  readonly graph: CentrelineGraph;
  /** Lines that there was no room for. */
  readonly dropped: number;
  /** Lines that stay and lie on each other when they are drawn, two and two. */
  readonly pairs: number;
}

/** Two lines alone are drawn as one by what comes after; from three on they are a field. */
const FIELD = 3;

/** A line as the eye follows it. */
interface GraphLine extends FieldLine {
  readonly edges: readonly number[];
  readonly nodes: ReadonlySet<number>;
}

/**
 * Thins out fields of lines that run side by side nearer than they can be drawn: of a hatching every second or third
 * line stays, so that it is a hatching still and no mass.
 *
 * @param distance from middle to middle that two lines need, in the graph's unit
 * @param width of a line, in the graph's unit
 */
export function typified(whole: CentrelineGraph, distance: number, width: number): TypifiedLines {
  const graph = withTurnsApart(whole, distance);
  const lines = linesIn(graph, whole.nodes.length, distance, width);
  const doMeet = (one: number, other: number): boolean =>
    [...lines[one].nodes].some((node) => lines[other].nodes.has(node));
  const takesPart = (line: number): boolean => lines[line].length >= width;
  const isTooNear = (_: number, { away }: NeighbourLine): boolean => away < distance;
  const hasRoom = (_: number, { away }: NeighbourLine): boolean => away >= distance;
  const isOn = ({ away }: NeighbourLine): boolean => away < (width + distance) / 2;
  const gone = new Set<number>();
  let [dropped, pairs] = [0, 0];
  for (const field of lineFields(lines, { distance, takesPart, doMeet, isTooNear, hasRoom })) {
    if (field.lines.length < FIELD) {
      pairs += Number(field.beside(field.lines[0]).some(isOn));
      continue;
    }
    dropped += field.lines.length - field.staying.size;
    for (const line of field.lines)
      if (!field.staying.has(line)) for (const edge of lines[line].edges) gone.add(edge);
  }
  if (gone.size === 0) return { graph: whole, dropped, pairs };
  const edges = graph.edges.filter((_, edge) => !gone.has(edge));
  return { graph: { nodes: graph.nodes, edges }, dropped, pairs };
}

/** Parts lines that wind round beside themselves, as a spiral does, into turns: each a line of a field. */
function withTurnsApart({ nodes, edges }: CentrelineGraph, distance: number): CentrelineGraph {
  const more = [...nodes];
  const apart = edges.flatMap((edge): CentreEdge[] => {
    const ends = turnEnds(edge.x, edge.y, distance / 2);
    if (edge.from === edge.to || ends.length === 0) return [edge];
    const cuts = [0, ...ends, edge.x.length - 1];
    const at = cuts.map((k, cut) => {
      if (cut === 0) return edge.from;
      if (cut === cuts.length - 1) return edge.to;
      return more.push({ x: edge.x[k], y: edge.y[k], halfWidth: nodes[edge.from].halfWidth }) - 1;
    });
    return cuts.slice(1).map((end, cut) => ({
      from: at[cut],
      to: at[cut + 1],
      x: edge.x.slice(cuts[cut], end + 1),
      y: edge.y.slice(cuts[cut], end + 1),
    }));
  });
  return { nodes: more, edges: apart };
}

/** The lines of a graph as the eye follows them: over nodes where they go straight on, but for those that part turns. */
function linesIn(
  { nodes, edges }: CentrelineGraph,
  parting: number,
  distance: number,
  width: number,
): GraphLine[] {
  const turn = turnsIn(edges, width);
  const trails = trailsThrough(nodes.length, edges, turn, () => Infinity);
  type Step = (typeof trails)[number]['steps'][number];
  const begins = ({ edge, isForward }: Step) => (isForward ? edges[edge].from : edges[edge].to);
  const leaving = ({ edge, isForward }: Step) => 2 * edge + Number(isForward);
  const entering = ({ edge, isForward }: Step) => 2 * edge + Number(!isForward);
  const groups = trails.flatMap(({ steps }) => {
    const parts: Step[][] = [];
    steps.forEach((step, k) => {
      const last = steps[k - 1];
      const goesOn =
        last && begins(step) < parting && turn(leaving(last), entering(step)) < GOES_ON;
      if (goesOn) parts[parts.length - 1].push(step);
      else parts.push([step]);
    });
    return parts;
  });
  return groups.map((steps): GraphLine => {
    const ways = steps.map(({ edge, isForward }) => {
      const { x, y } = edges[edge];
      return isForward ? { x, y } : { x: x.toReversed(), y: y.toReversed() };
    });
    const [x, y] = [ways.flatMap((way) => way.x), ways.flatMap((way) => way.y)];
    return {
      ...fieldLine(x, y, distance),
      edges: steps.map(({ edge }) => edge),
      nodes: new Set(steps.flatMap(({ edge }) => [edges[edge].from, edges[edge].to])),
    };
  });
}
