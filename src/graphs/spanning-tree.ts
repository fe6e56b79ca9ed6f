import { unionFind, type UnionFind } from './union-find.js';

/** An edge of a graph whose nodes are numbered from 0. */
export interface CostedEdge {
  readonly from: number;
  readonly to: number;
  readonly cost: number;
}

/**
 * The edges of least total cost that join the nodes, in order of cost; of equal costs the earlier edge wins.
 * Where the edges don't join all nodes it is a tree for each part.
 *
 * Source: Kruskal, "On the shortest spanning subtree of a graph and the traveling salesman problem",
 * Proc. Amer. Math. Soc. 7 (1956).
 *
 * @param joined sets of nodes that are joined already; the edges taken are entered into it
 * @param fits an edge that it refuses, given those taken so far, is passed over; the rest is then the greedy choice
 */
export function spanningTree<E extends CostedEdge>(
  nodes: number,
  edges: readonly E[],
  joined: UnionFind = unionFind(nodes),
  fits: (edge: E, taken: readonly E[]) => boolean = () => true,
): E[] {
  const taken: E[] = [];
  for (const edge of [...edges].sort((a, b) => a.cost - b.cost)) {
    if (joined.find(edge.from) === joined.find(edge.to) || !fits(edge, taken)) continue;
    joined.unite(edge.from, edge.to);
    taken.push(edge);
  }
  return taken;
}
