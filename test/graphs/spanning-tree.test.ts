import { describe, expect, it } from 'vitest';
import { spanningTree } from '../../src/graphs/spanning-tree.js';
import { unionFind } from '../../src/graphs/union-find.js';

const edge = (from: number, to: number, cost: number) => ({ from, to, cost });

describe('spanningTree', () => {
  it('takes the cheapest edges that join, in order of cost', () => {
    const edges = [edge(0, 1, 3), edge(1, 2, 1), edge(0, 2, 2), edge(2, 3, 9), edge(1, 3, 8)];
    expect(spanningTree(4, edges)).toEqual([edge(1, 2, 1), edge(0, 2, 2), edge(1, 3, 8)]);
  });

  it('makes a tree of each part of a graph that hangs apart', () => {
    expect(spanningTree(5, [edge(0, 1, 1), edge(2, 3, 1), edge(3, 2, 2)])).toHaveLength(2);
  });

  it('passes over edges that do not fit, and nodes that are joined already', () => {
    const joined = unionFind(4);
    joined.unite(0, 1);
    const edges = [edge(0, 1, 1), edge(1, 2, 2), edge(0, 2, 3), edge(2, 3, 4)];
    const tree = spanningTree(4, edges, joined, ({ cost }) => cost !== 2);
    expect(tree.map(({ cost }) => cost)).toEqual([3, 4]);
    expect(joined.find(0)).toBe(joined.find(3));
  });
});
