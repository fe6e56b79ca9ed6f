import { createRequire } from 'node:module';
import { describe, expect, it } from 'vitest';
import { FORWARD, leastCut, type FlowGrid } from '../../src/graphs/max-flow.js';
import { seeded } from '../support/bitmaps.js';

/*
 * The largest flow on small grids: against a library of textbook algorithms (npm: js-graph-algorithms; Ford & Fulkerson,
 * Maximal flow through a network, Canadian Journal of Mathematics 8, 1956), and against every cut there is.
 */

interface FlowLibrary {
  readonly FlowNetwork: new (nodes: number) => { addEdge(edge: object): void };
  readonly FlowEdge: new (from: number, to: number, capacity: number) => object;
  readonly FordFulkerson: new (network: object, from: number, to: number) => { value: number };
}

const library = createRequire(import.meta.url)('js-graph-algorithms') as FlowLibrary;

function randomGrid(width: number, height: number, random: () => number, sparse: number): FlowGrid {
  const nodes = width * height;
  const whole = (most: number) => Math.floor(random() * most);
  return {
    width,
    height,
    terminal: Int32Array.from({ length: nodes }, () => (random() < sparse ? 0 : whole(200) - 100)),
    links: Int32Array.from({ length: 4 * nodes }, () => (random() < sparse ? 0 : whole(60))),
  };
}

/** Every link of a grid, as its two nodes and its capacity. */
function linksOf({ width, height, links }: FlowGrid): [number, number, number][] {
  const found: [number, number, number][] = [];
  for (let i = 0; i < width * height; i++) {
    FORWARD.forEach(([dx, dy], k) => {
      const [x, y] = [(i % width) + dx, Math.floor(i / width) + dy];
      if (x >= 0 && x < width && y < height) found.push([i, y * width + x, links[4 * i + k]]);
    });
  }
  return found;
}

function costOf(grid: FlowGrid, side: ArrayLike<number>): number {
  let cost = 0;
  grid.terminal.forEach((amount, i) => {
    if (amount > 0 ? side[i] === 0 : side[i] === 1) cost += Math.abs(amount);
  });
  for (const [a, b, capacity] of linksOf(grid)) if (side[a] !== side[b]) cost += capacity;
  return cost;
}

describe('the largest flow', () => {
  it.each([0, 0.3, 0.7])(
    'is that of a library, and its cut costs as much (%d left out)',
    (sparse) => {
      const random = seeded(Math.round(100 * sparse) + 1);
      for (let round = 0; round < 40; round++) {
        const [width, height] = [1 + Math.floor(random() * 9), 1 + Math.floor(random() * 9)];
        const grid = randomGrid(width, height, random, sparse);
        const nodes = width * height;
        const network = new library.FlowNetwork(nodes + 2);
        grid.terminal.forEach((amount, i) => {
          const ends = amount > 0 ? ([nodes, i] as const) : ([i, nodes + 1] as const);
          network.addEdge(new library.FlowEdge(...ends, Math.abs(amount)));
        });
        for (const [a, b, capacity] of linksOf(grid)) {
          network.addEdge(new library.FlowEdge(a, b, capacity));
          network.addEdge(new library.FlowEdge(b, a, capacity));
        }
        const { value } = new library.FordFulkerson(network, nodes, nodes + 1);
        const cut = leastCut(grid);
        expect(cut.value).toBe(value);
        expect(costOf(grid, cut.source)).toBe(value);
      }
    },
  );

  it('costs no more than any other cut of a grid of 3 × 4', () => {
    const random = seeded(7);
    for (let round = 0; round < 12; round++) {
      const grid = randomGrid(3, 4, random, 0.2);
      let least = Infinity;
      for (let bits = 0; bits < 1 << 12; bits++) {
        const side = Array.from({ length: 12 }, (_, i) => (bits >> i) & 1);
        least = Math.min(least, costOf(grid, side));
      }
      expect(leastCut(grid).value).toBe(least);
    }
  });
});
