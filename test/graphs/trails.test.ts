import { describe, expect, it } from 'vitest';
import { fewestTrails, trailsThrough, type TrailEdge } from '../../src/graphs/trails.js';
import { delaunayEdges } from '../../src/geometry/triangulation.js';
import { seeded } from '../support/bitmaps.js';

/*
 * The least number of trails that take each edge of a connected graph once is half its odd nodes, and one at least:
 * Euler, "Solutio problematis ad geometriam situs pertinentis", Comm. Acad. Sci. Petropolitanae 8 (1741).
 */

const GRAPHS = 500;

interface Drawn {
  readonly nodes: number;
  readonly edges: readonly TrailEdge[];
  readonly angles: readonly number[];
}

/** A random planar graph: some sides of a triangulation, a few of them twice, and loops. */
function planar(seed: number): Drawn {
  const random = seeded(seed);
  const nodes = 4 + Math.floor(36 * random());
  const points = Float64Array.from({ length: 2 * nodes }, () => 100 * random());
  const sides = delaunayEdges(points);
  const kept = 0.3 + 0.7 * random();
  const edges: TrailEdge[] = [];
  for (let i = 0; i < sides.length; i += 2) {
    if (random() > kept) continue;
    const [from, to] = random() < 0.5 ? [sides[i], sides[i + 1]] : [sides[i + 1], sides[i]];
    edges.push({ from, to });
    if (random() < 0.1) edges.push({ from, to });
    if (random() < 0.05) edges.push({ from, to: from });
  }
  const angles = Array.from({ length: 2 * edges.length }, () => 2 * Math.PI * random());
  return { nodes, edges, angles };
}

/** By component: its nodes' degrees, found by walking. */
function degreesByPart({ nodes, edges }: Drawn): number[][] {
  const near: number[][] = Array.from({ length: nodes }, () => []);
  for (const { from, to } of edges) {
    near[from].push(to);
    near[to].push(from);
  }
  const seen = new Set<number>();
  const parts: number[][] = [];
  for (let first = 0; first < nodes; first++) {
    if (seen.has(first) || near[first].length === 0) continue;
    const queue = [first];
    seen.add(first);
    for (const node of queue) {
      for (const next of near[node]) {
        if (seen.has(next)) continue;
        seen.add(next);
        queue.push(next);
      }
    }
    parts.push(queue.map((node) => near[node].length));
  }
  return parts;
}

const sum = (values: readonly number[]): number => values.reduce((a, b) => a + b, 0);

function trailsOf({ nodes, edges, angles }: Drawn, most: number) {
  return trailsThrough(
    nodes,
    edges,
    (a, b) => Math.abs(Math.PI - Math.abs(angles[a] - angles[b])),
    () => most,
  );
}

describe('trails through random planar graphs', () => {
  const graphs = Array.from({ length: GRAPHS }, (_, seed) => planar(seed + 1));

  it('take each edge once, one after the other', () => {
    for (const graph of graphs) {
      for (const most of [1, 2, Infinity]) {
        const trails = trailsOf(graph, most);
        const taken = trails.flatMap(({ steps }) => steps.map(({ edge }) => edge));
        expect(taken.toSorted((a, b) => a - b)).toEqual(graph.edges.map((_, k) => k));
        const wrong = trails.filter(({ steps, isClosed }) => {
          const ends = steps.map(({ edge, isForward }) => {
            const { from, to } = graph.edges[edge];
            return isForward ? [from, to] : [to, from];
          });
          const breaks = ends.slice(1).filter(([from], k) => from !== ends[k][1]).length;
          return breaks > 0 || (isClosed && ends[0][0] !== ends[ends.length - 1][1]);
        });
        expect(wrong).toEqual([]);
      }
    }
  });

  it('are as few as can be: half the odd nodes of a component, one at least', () => {
    for (const graph of graphs) {
      const least = sum(
        degreesByPart(graph).map((degrees) =>
          Math.max(1, degrees.filter((d) => d % 2 === 1).length / 2),
        ),
      );
      expect(trailsOf(graph, Infinity).length).toBe(least);
      expect(fewestTrails(graph.nodes, graph.edges)).toBe(least);
    }
  });

  it('are as few as can be where each node is passed once: half of the ends that are left, one at least', () => {
    for (const graph of graphs) {
      const least = sum(
        degreesByPart(graph).map((degrees) =>
          Math.max(1, sum(degrees.map((d) => (d < 2 ? d : d - 2))) / 2),
        ),
      );
      expect(trailsOf(graph, 1).length).toBe(least);
    }
  });
});

describe('a crossing', () => {
  it('is passed straight on, and where one pass is allowed the other line ends at it', () => {
    // Four arms: right, left, down, up.
    const edges = [1, 2, 3, 4].map((to) => ({ from: 0, to }));
    const directions = [0, Math.PI, Math.PI / 2, -Math.PI / 2];
    const turn = (a: number, b: number): number => {
      const between = Math.abs(directions[a >> 1] - directions[b >> 1]);
      return Math.abs(Math.PI - Math.min(between, 2 * Math.PI - between));
    };
    const arms = (most: number) =>
      trailsThrough(5, edges, turn, () => most).map(({ steps }) =>
        steps.map(({ edge }) => edge).toSorted((a, b) => a - b),
      );
    expect(arms(2)).toEqual([
      [0, 1],
      [2, 3],
    ]);
    expect(arms(1)).toEqual([[0, 1], [2], [3]]);
  });
});
