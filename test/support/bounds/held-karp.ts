import { spanningTree } from '../../../src/graphs/spanning-tree.js';
import type { Cost } from '../../../src/graphs/open-path-tsp.js';
import { delaunayEdges } from '../../../src/geometry/triangulation.js';

const MOST_ROUNDS = 120;
/** Looks at pairs of stops, in all: many stops get fewer rounds. */
const MOST_LOOKS = 6_000_000;
const FEWEST_ROUNDS = 6;
const FIRST_STEP = 1.6;
const PATIENCE = 6;

/**
 * No way through all stops costs less than this. A way is a spanning tree in which every stop but the ends has two
 * neighbours; each stop gets a price for a neighbour, and the cheapest tree with those prices, less what a way would
 * pay, is a bound for any prices. The prices are raised where the tree has too many neighbours, and lowered where it
 * has too few.
 *
 * Held & Karp, "The traveling-salesman problem and minimum spanning trees", Oper. Res. 18 (1970) and Math. Program. 1
 * (1971).
 *
 * @param starts,ends the stops that a way may start and end at
 * @param known the cost of some way, for the size of the steps
 */
export function heldKarpBound(
  count: number,
  cost: Cost,
  starts: readonly number[],
  ends: readonly number[],
  known: number,
): number {
  if (count < 2) return 0;
  const prices = new Float64Array(count);
  const degrees = new Int32Array(count);
  const rounds = Math.max(
    FEWEST_ROUNDS,
    Math.min(MOST_ROUNDS, Math.floor(MOST_LOOKS / (count * count))),
  );
  let best = -Infinity;
  let step = FIRST_STEP;
  let idle = 0;
  for (let round = 0; round < rounds; round++) {
    let bound = cheapestTree(count, cost, prices, degrees);
    for (const price of prices) bound -= 2 * price;
    for (const end of [cheapest(starts, prices), cheapest(ends, prices)]) {
      bound += prices[end];
      degrees[end]++;
    }
    idle = bound > best + 1e-9 ? 0 : idle + 1;
    best = Math.max(best, bound);
    if (idle === PATIENCE) {
      idle = 0;
      step /= 2;
    }
    let off = 0;
    for (const degree of degrees) off += (degree - 2) ** 2;
    if (off === 0) break; // the tree is a way: nothing is shorter
    const size = (step * Math.max(known - bound, 1e-6)) / off;
    for (let i = 0; i < count; i++) prices[i] += size * (degrees[i] - 2);
  }
  return best;
}

/**
 * The same without prices, for many stops: a way through all places is a tree that spans them, so that none is shorter
 * than the shortest such tree.
 *
 * @param places x, y pairs in mm
 * @returns in mm
 */
export function treeBound(places: Float64Array): number {
  const edges = delaunayEdges(places);
  const sides = Array.from({ length: edges.length / 2 }, (_, k) => {
    const [from, to] = [edges[2 * k], edges[2 * k + 1]];
    const dx = places[2 * to] - places[2 * from];
    const dy = places[2 * to + 1] - places[2 * from + 1];
    return { from, to, cost: Math.sqrt(dx * dx + dy * dy) };
  });
  return spanningTree(places.length / 2, sides).reduce((sum, { cost }) => sum + cost, 0);
}

function cheapest(stops: readonly number[], prices: Float64Array): number {
  return stops.reduce((best, stop) => (prices[stop] < prices[best] ? stop : best), stops[0]);
}

/** Prim's algorithm (1957); counts each stop's neighbours in `degrees` and gives the tree's cost with the prices. */
function cheapestTree(
  count: number,
  cost: Cost,
  prices: Float64Array,
  degrees: Int32Array,
): number {
  const reach = new Float64Array(count).fill(Infinity);
  const from = new Int32Array(count);
  // The stops that are not in the tree yet, the first `left` of them.
  const outside = Int32Array.from({ length: count - 1 }, (_, i) => i + 1);
  degrees.fill(0);
  let sum = 0;
  let joined = 0;
  for (let left = count - 1; left > 0; left--) {
    let nearest = 0;
    for (let k = 0; k < left; k++) {
      const stop = outside[k];
      const c = cost(joined, stop) + prices[joined] + prices[stop];
      if (c < reach[stop]) {
        reach[stop] = c;
        from[stop] = joined;
      }
      if (reach[stop] < reach[outside[nearest]]) nearest = k;
    }
    joined = outside[nearest];
    outside[nearest] = outside[left - 1];
    sum += reach[joined];
    degrees[joined]++;
    degrees[from[joined]]++;
  }
  return sum;
}
