import { describe, expect, it } from 'vitest';
import { delaunayEdges } from '../../src/geometry/triangulation.js';

const pairs = (points: number[]): string[] => {
  const edges = delaunayEdges(Float64Array.from(points));
  return Array.from({ length: edges.length / 2 }, (_, e) =>
    [edges[2 * e], edges[2 * e + 1]].sort((a, b) => a - b).join('-'),
  ).sort();
};

describe('delaunayEdges', () => {
  it('gives each edge once', () => {
    expect(pairs([0, 0, 4, 0, 0, 4, 1, 1])).toEqual(['0-1', '0-2', '0-3', '1-2', '1-3', '2-3']);
  });

  it('links points on one line in their order', () => {
    expect(pairs([5, 5, 0, 0, 9, 9, 2, 2])).toEqual(['0-2', '0-3', '1-3']);
  });

  it('has no edge for fewer than two points', () => {
    expect(pairs([])).toEqual([]);
    expect(pairs([1, 1])).toEqual([]);
    expect(pairs([1, 1, 2, 2])).toEqual(['0-1']);
  });
});
