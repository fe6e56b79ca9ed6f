import { degreesOf } from './degrees.js';
import { unionFind } from './union-find.js';

/** An edge of a graph whose nodes are numbered from 0; both ends may be one node. */
export interface TrailEdge {
  readonly from: number;
  readonly to: number;
}

/** An edge as a trail takes it. */
interface TrailStep {
  readonly edge: number;
  /** From its `from` to its `to`. */
  readonly isForward: boolean;
}

/** Edges one after the other, each once; a closed one ends where it begins and could begin anywhere. */
export interface Trail {
  readonly steps: readonly TrailStep[];
  readonly isClosed: boolean;
}

/** One end of an edge: twice its number, and one more at its `to`. */
export type EdgeEnd = number;

/**
 * Parts a graph into trails that take each edge once, as few as there can be when each node is passed no more often
 * than it may be.
 *
 * A node leaves open the ends that it does not pair; a trail has two of them, or none when it is closed, and a closed
 * one is spliced into another that it meets (Hierholzer & Wiener, "Über die Möglichkeit, einen Linienzug ohne
 * Wiederholung und ohne Unterbrechung zu umfahren", Math. Ann. 6, 1873). So a component has half as many trails as it
 * has open ends, and one at least; where nothing limits the passes, that is half its odd nodes (Euler, 1736).
 *
 * @param turn what it costs to go on from one end in another at their node; the pairs of least cost are taken first
 * @param passes how often a node may be passed
 */
export function trailsThrough(
  nodes: number,
  edges: readonly TrailEdge[],
  turn: (one: EdgeEnd, other: EdgeEnd) => number,
  passes: (node: number) => number,
): Trail[] {
  const at = endsByNode(nodes, edges);
  const mates = new Int32Array(2 * edges.length).fill(-1);
  at.forEach((ends, node) => {
    pairUp(ends, mates, turn, passes(node));
  });
  let trails = walked(edges.length, mates);
  // Each splice leaves one trail fewer.
  for (let left = edges.length; left > 0 && spliceOne(trails, at, mates, turn); left--)
    trails = walked(edges.length, mates);
  return trails;
}

/** The fewest trails in all when nodes may be passed without limit: half its odd nodes a component, one at least. */
export function fewestTrails(nodes: number, edges: readonly TrailEdge[]): number {
  const joined = unionFind(nodes);
  const degree = degreesOf(nodes, edges);
  for (const { from, to } of edges) joined.unite(from, to);
  const odd = new Map<number, number>();
  degree.forEach((d, node) => {
    if (d === 0) return;
    const root = joined.find(node);
    odd.set(root, (odd.get(root) ?? 0) + (d % 2));
  });
  return [...odd.values()].reduce((sum, count) => sum + Math.max(1, count / 2), 0);
}

function endsByNode(nodes: number, edges: readonly TrailEdge[]): EdgeEnd[][] {
  const at: EdgeEnd[][] = Array.from({ length: nodes }, () => []);
  edges.forEach(({ from, to }, edge) => {
    at[from].push(2 * edge);
    at[to].push(2 * edge + 1);
  });
  return at;
}

function pairUp(
  ends: readonly EdgeEnd[],
  mates: Int32Array,
  turn: (one: EdgeEnd, other: EdgeEnd) => number,
  most: number,
): void {
  const pairs = ends.flatMap((one, k) =>
    ends.slice(k + 1).map((other) => ({ one, other, cost: turn(one, other) })),
  );
  pairs.sort((a, b) => a.cost - b.cost);
  let left = most;
  for (const { one, other } of pairs) {
    if (left === 0) return;
    if (mates[one] >= 0 || mates[other] >= 0) continue;
    [mates[one], mates[other]] = [other, one];
    left--;
  }
}

function walked(edges: number, mates: Int32Array): Trail[] {
  const used = new Uint8Array(edges);
  const walk = (entered: EdgeEnd): Trail => {
    const steps: TrailStep[] = [];
    let end = entered;
    while (end >= 0 && used[end >> 1] === 0) {
      used[end >> 1] = 1;
      steps.push({ edge: end >> 1, isForward: (end & 1) === 0 });
      end = mates[end ^ 1];
    }
    return { steps, isClosed: end >= 0 };
  };
  const trails: Trail[] = [];
  for (let end = 0; end < 2 * edges; end++)
    if (used[end >> 1] === 0 && mates[end] < 0) trails.push(walk(end));
  for (let edge = 0; edge < edges; edge++) if (used[edge] === 0) trails.push(walk(2 * edge));
  return trails;
}

/** Ends that are parted from each other, and those that are joined instead. */
interface Splice {
  readonly pairs: readonly (readonly [EdgeEnd, EdgeEnd])[];
  readonly loose: readonly EdgeEnd[];
  readonly cost: number;
}

/** Joins one closed trail to another that it meets, by the least turn; false where none meets another. */
function spliceOne(
  trails: readonly Trail[],
  at: readonly (readonly EdgeEnd[])[],
  mates: Int32Array,
  turn: (one: EdgeEnd, other: EdgeEnd) => number,
): boolean {
  const trailOf = new Int32Array(mates.length / 2);
  trails.forEach(({ steps }, trail) => {
    for (const { edge } of steps) trailOf[edge] = trail;
  });
  let best: Splice | undefined;
  for (const ends of at) {
    for (const one of ends) {
      const other = mates[one];
      if (other < 0 || !trails[trailOf[one >> 1]].isClosed) continue;
      for (const third of ends) {
        if (trailOf[third >> 1] === trailOf[one >> 1]) continue;
        const fourth = mates[third];
        const cost =
          turn(one, third) + (fourth < 0 ? 0 : turn(other, fourth) - turn(third, fourth));
        if (best && best.cost <= cost - turn(one, other)) continue;
        best = {
          pairs: fourth < 0 ? [[one, third]] : [[one, third], [other, fourth]], // prettier-ignore
          loose: fourth < 0 ? [other] : [],
          cost: cost - turn(one, other),
        };
      }
    }
  }
  if (!best) return false;
  for (const [one, other] of best.pairs) [mates[one], mates[other]] = [other, one];
  for (const end of best.loose) mates[end] = -1;
  return true;
}
