import { describe, expect, it } from 'vitest';
import { completeJob } from '../../src/index.js';
import type { CentreEdge, CentrelineGraph } from '../../src/raster/centreline-graph.js';
import { lines, type Lines } from '../../src/stages/lines/lines.js';
import { typified } from '../../src/stages/lines/typify.js';
import { chainLength } from '../../src/geometry/chain.js';
import { hatch, rings, type LineDrawing } from '../support/line-drawings.js';
import { paintedBy } from '../support/resvg.js';

const PIXELS_PER_MM = 5;

/** Lines of 3 mm, 1.5 mm apart, of a drawing of thin ones. */
function drawnOf({ svg }: LineDrawing): Lines {
  const bitmap = paintedBy(svg.replace(/<rect[^>]*>/, ''), PIXELS_PER_MM * 25.4);
  const job = completeJob({ as: 'glue-line', beadWidth: 3, beadHeight: 2 });
  return lines({ bitmap }, { pixelsPerMm: PIXELS_PER_MM }, job);
}

const gaps = Array.from({ length: 14 }, (_, k) => 0.5 + k / 2);

describe('lines of glue side by side', () => {
  it.each(gaps)('of two rings %s mm apart are one ring or two, never one by bits', (gap) => {
    const { graph, closed } = drawnOf(rings(1, gap));
    // From middle to middle there is a line’s millimetre more.
    const isRoom = gap + 1 > 3 + 1.5 * 1.25;
    expect(graph.edges.every(({ from, to }) => from === to)).toBe(true);
    expect(graph.edges).toHaveLength(isRoom ? 2 : 1);
    expect(closed > 0).toBe(!isRoom);
  });

  it.each(gaps)('of a hatching %s mm apart are a hatching still', (gap) => {
    const { graph, thinned } = drawnOf(hatch(1, gap));
    const at = graph.edges.map(({ x }) => x[0]).toSorted((a, b) => a - b);
    for (const { x, y } of graph.edges) {
      expect(chainLength(x, y)).toBeGreaterThan(47);
      expect(Math.max(...x) - Math.min(...x)).toBeLessThan(1);
    }
    const apart = at.slice(1).map((one, k) => one - at[k]);
    expect(Math.min(...apart)).toBeGreaterThan(4.5);
    // Every second or third, evenly; what is left out would have had no room.
    expect(Math.max(...apart)).toBeLessThan(Math.max(4.9 + gap + 1, gap + 1.2));
    expect(thinned > 0).toBe(gap + 1 < 3 + 1.5 * 1.25);
  });
});

/** A graph of polylines, whose ends are nodes; ends in one place are one node. */
function graphOf(ways: readonly (readonly (readonly [number, number])[])[]): CentrelineGraph {
  const nodes: { x: number; y: number; halfWidth: number }[] = [];
  const nodeAt = ([x, y]: readonly [number, number]): number => {
    const found = nodes.findIndex((node) => Math.hypot(node.x - x, node.y - y) < 1e-6);
    return found >= 0 ? found : nodes.push({ x, y, halfWidth: 1 }) - 1;
  };
  const edges = ways.map((way): CentreEdge => ({
    from: nodeAt(way[0]),
    to: nodeAt(way[way.length - 1]),
    x: way.map(([x]) => x),
    y: way.map(([, y]) => y),
  }));
  return { nodes, edges };
}

describe('fields of lines', () => {
  it('of a grid keep every second line of each direction, whole', () => {
    const places = Array.from({ length: 9 }, (_, k) => 4 * k);
    const steps = places.slice(1).map((end, k) => [places[k], end] as const);
    const ways = places.flatMap((at) =>
      steps.flatMap(([from, to]) => [
        [[at, from], [at, to]] as const, // prettier-ignore
        [[from, at], [to, at]] as const, // prettier-ignore
      ]),
    );
    const { graph, dropped } = typified(graphOf(ways), 5, 3);
    expect(dropped).toBe(8);
    const columns = new Set(graph.edges.filter(({ x }) => x[0] === x[1]).map(({ x }) => x[0]));
    const rows = new Set(graph.edges.filter(({ y }) => y[0] === y[1]).map(({ y }) => y[0]));
    expect([...columns].toSorted((a, b) => a - b)).toEqual([0, 8, 16, 24, 32]);
    expect([...rows].toSorted((a, b) => a - b)).toEqual([0, 8, 16, 24, 32]);
    expect(graph.edges).toHaveLength(2 * 5 * 8);
  });

  it('of a spiral are its turns', () => {
    const turns = 6;
    const way = Array.from({ length: 60 * turns + 1 }, (_, k) => {
      const angle = (2 * Math.PI * k) / 60;
      const radius = 8 + (3 * k) / 60;
      return [radius * Math.cos(angle), radius * Math.sin(angle)] as const;
    });
    const { graph, dropped } = typified(graphOf([way]), 5, 3);
    expect(dropped).toBe(3);
    expect(graph.edges).toHaveLength(3);
  });

  it('are three lines and more: of two none is left out, and that they lie on each other is said', () => {
    const pair = (apart: number) => graphOf([[[0, 0], [40, 0]], [[0, apart], [40, apart]]]); // prettier-ignore
    expect(typified(pair(2), 5, 3)).toMatchObject({ dropped: 0, pairs: 1 });
    expect(typified(pair(6), 5, 3)).toMatchObject({ dropped: 0, pairs: 0 });
  });

  it('are thinned out so that what goes lies as near to what stays as can be', () => {
    const ways = Array.from({ length: 12 }, (_, k) => [[0, k], [40 - k / 10, k]] as const); // prettier-ignore
    const { graph } = typified(graphOf(ways), 3.1, 2);
    const kept = graph.edges.map(({ y }) => y[0]);
    expect(kept).toHaveLength(3);
    const off = ways.map(([[, y]]) => Math.min(...kept.map((one) => Math.abs(one - y))));
    expect(Math.max(...off)).toBe(2);
  });

  it('are no lines that meet in a figure', () => {
    const star = [0, 1, 2, 3, 4, 5, 6, 7].map((k) => {
      const angle = (k * Math.PI) / 16;
      return [[0, 0], [12 * Math.cos(angle), 12 * Math.sin(angle)]] as const; // prettier-ignore
    });
    expect(typified(graphOf(star), 5, 3).dropped).toBe(0);
  });
});
