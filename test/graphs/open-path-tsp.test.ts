import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { heldKarpBound } from '../support/bounds/held-karp.js';
import { shortOpenPath, wayCost, type Cost } from '../../src/graphs/open-path-tsp.js';

const place = fc.record({
  x: fc.integer({ min: 0, max: 200 }),
  y: fc.integer({ min: 0, max: 280 }),
});
const places = (minLength: number, maxLength: number) => fc.array(place, { minLength, maxLength });

const between =
  (stops: readonly { x: number; y: number }[]): Cost =>
  (a, b) =>
    Math.hypot(stops[a].x - stops[b].x, stops[a].y - stops[b].y);

/** The cost of the cheapest of all ways. */
function cheapest(count: number, cost: Cost): number {
  let best = Infinity;
  const visit = (way: readonly number[], sum: number): void => {
    if (sum >= best) return;
    if (way.length === count) best = sum;
    for (let stop = 0; stop < count; stop++) {
      if (way.includes(stop)) continue;
      visit([...way, stop], sum + (way.length > 0 ? cost(way[way.length - 1], stop) : 0));
    }
  };
  visit([], 0);
  return best;
}

const everywhere = (count: number): number[] => Array.from({ length: count }, (_, i) => i);

describe('a short way', () => {
  it('goes to every stop once', () => {
    fc.assert(
      fc.property(places(0, 60), (stops) => {
        const way = shortOpenPath(stops.length, between(stops));
        expect([...way].sort((a, b) => a - b)).toEqual(everywhere(stops.length));
      }),
    );
  });

  it('is within 1.15 of the shortest of all ways, and no shorter; the bound is no longer', () => {
    fc.assert(
      fc.property(places(2, 7), (stops) => {
        const cost = between(stops);
        const all = everywhere(stops.length);
        const best = cheapest(stops.length, cost);
        const found = wayCost(shortOpenPath(stops.length, cost), cost);
        expect(found).toBeLessThanOrEqual(1.15 * best + 1e-9);
        expect(found).toBeGreaterThanOrEqual(best - 1e-9);
        expect(heldKarpBound(stops.length, cost, all, all, found)).toBeLessThanOrEqual(best + 1e-6);
      }),
    );
  });

  it('is within 1.15 of its lower bound on many stops', () => {
    fc.assert(
      fc.property(places(100, 300), (stops) => {
        const cost = between(stops);
        const all = everywhere(stops.length);
        const found = wayCost(shortOpenPath(stops.length, cost), cost);
        const bound = heldKarpBound(stops.length, cost, all, all, found);
        expect(found).toBeGreaterThanOrEqual(bound - 1e-6);
        expect(found).toBeLessThanOrEqual(1.15 * bound);
      }),
      { numRuns: 8 },
    );
  });

  it('along a line is the line, whatever the order of the stops', () => {
    const stops = [5, 1, 9, 3, 0, 7, 8, 2, 6, 4].map((x) => ({ x: 10 * x, y: 2 * x }));
    const cost = between(stops);
    expect(wayCost(shortOpenPath(10, cost), cost)).toBeCloseTo(Math.hypot(90, 18), 9);
    expect(heldKarpBound(10, cost, everywhere(10), everywhere(10), 200)).toBeCloseTo(
      Math.hypot(90, 18),
      3,
    );
  });
});
