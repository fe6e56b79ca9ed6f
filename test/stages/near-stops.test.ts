import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { treeBound } from '../support/bounds/held-karp.js';
import { shortOpenPath, wayCost, type Cost } from '../../src/graphs/open-path-tsp.js';
import { nearStops, type Stops } from '../../src/stages/plan/near-stops.js';

const SHEET_MM = 300;

/** Stops on a grid of 1 mm, many of them equally far apart, in a few rounds; some have thin film between them. */
const drawings = fc
  .array(
    fc.record({
      x: fc.integer({ min: 0, max: 30 }),
      y: fc.integer({ min: 0, max: 30 }),
      round: fc.constantFrom(0, 0, 0, 0, 0, 1, 1, 2),
      thin: fc.array(fc.nat(200), { maxLength: 3 }),
    }),
    { minLength: 3, maxLength: 120 },
  )
  .map((stops): Stops => {
    const thinBeside = stops.map((): number[] => []);
    stops.forEach(({ thin }, a) => {
      for (const b of thin.map((other) => other % stops.length)) {
        if (a === b || thinBeside[a].includes(b)) continue;
        thinBeside[a].push(b);
        thinBeside[b].push(a);
      }
    });
    const used = [...new Set(stops.map(({ round }) => round))].sort((a, b) => a - b);
    return {
      x: Float64Array.from(stops, ({ x }) => x),
      y: Float64Array.from(stops, ({ y }) => y),
      rounds: Int32Array.from(stops, ({ round }) => used.indexOf(round)),
      thinBeside,
    };
  });

/** The rules as the plan has them: another round above thin film, and that above any way. */
const costOf =
  ({ x, y, rounds, thinBeside }: Stops): Cost =>
  (a, b) =>
    Math.hypot(x[a] - x[b], y[a] - y[b]) +
    SHEET_MM * (1000 * Math.abs(rounds[a] - rounds[b]) + 2 * Number(thinBeside[a].includes(b)));

describe('the near stops of many', () => {
  it('are those that a look at every pair finds', () => {
    fc.assert(
      fc.property(drawings, fc.integer({ min: 1, max: 10 }), (stops, asked) => {
        const cost = costOf(stops);
        const near = nearStops(stops, cost);
        const all = [...stops.x.keys()];
        const most = Math.min(asked, all.length - 1);
        for (const from of all) {
          const costs = all.filter((to) => to !== from).map((to) => cost(from, to));
          const expected = costs.sort((a, b) => a - b).slice(0, most);
          const found = [...near.nearest(from, most)];
          expect(new Set(found).size).toBe(most);
          found.forEach((to, k) => expect(cost(from, to)).toBeCloseTo(expected[k], 6));
        }
      }),
      { numRuns: 40 },
    );
  });

  it('make a way that always goes to the cheapest that is left', () => {
    fc.assert(
      fc.property(drawings, (stops) => {
        const cost = costOf(stops);
        const order = [...nearStops(stops, cost).greedy(0)];
        expect(order.toSorted((a, b) => a - b)).toEqual([...stops.x.keys()]);
        for (let i = 1; i < order.length; i++) {
          const least = Math.min(...order.slice(i).map((to) => cost(order[i - 1], to)));
          expect(cost(order[i - 1], order[i])).toBeCloseTo(least, 6);
        }
      }),
      { numRuns: 40 },
    );
  });

  it('give as short a way as every pair does, and none is shorter than the spanning tree', () => {
    fc.assert(
      fc.property(drawings, (drawing) => {
        const stops = {
          ...drawing,
          rounds: drawing.rounds.map(() => 0),
          thinBeside: drawing.thinBeside.map(() => []),
        };
        const cost = costOf(stops);
        const count = stops.x.length;
        const few = wayCost(shortOpenPath(count, cost, 0, nearStops(stops, cost)), cost);
        const all = wayCost(shortOpenPath(count, cost, 0), cost);
        expect(few).toBeLessThanOrEqual(1.1 * all + 1e-9);
        const places = Float64Array.from(
          { length: 2 * count },
          (_, k) => (k % 2 === 0 ? stops.x : stops.y)[k >> 1],
        );
        const bound = treeBound(places);
        expect(bound).toBeLessThanOrEqual(Math.min(few, all) + 1e-9);
        expect(bound).toBeGreaterThan(0.5 * few - 1e-9);
      }),
      { numRuns: 25 },
    );
  });
});
