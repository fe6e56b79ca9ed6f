import { nearTree, type NearTree } from '../../geometry/near-tree.js';
import type { Cost, Neighbours } from '../../graphs/open-path-tsp.js';

/** Where cuts start, in mm, the round of each, and the pieces that it leaves thin film to. */
export interface Stops {
  readonly x: Float64Array;
  readonly y: Float64Array;
  readonly rounds: Int32Array;
  readonly thinBeside: readonly (readonly number[])[];
}

/**
 * The cheapest neighbours of many stops without a look at every pair. It counts on the order of the rules: another round
 * costs more than any thin film, and that more than any way over the sheet.
 */
export function nearStops({ x, y, rounds, thinBeside }: Stops, cost: Cost): Neighbours {
  const members: number[][] = [];
  rounds.forEach((round, stop) => (members[round] ??= []).push(stop));
  const trees = (): NearTree[] => members.map((stops) => nearTree(stops, x, y));
  const still = trees();
  return {
    nearest(from, most) {
      const found = few(most);
      still[rounds[from]].near(x[from], y[from], (to, distance) =>
        to === from || thinBeside[from].includes(to) ? found.limit() : found.add(to, distance),
      );
      if (found.stops.length === most) return Int32Array.from(found.stops);
      // A round of so few stops: whatever else is cheapest.
      const any = few(most);
      for (let to = 0; to < x.length; to++) if (to !== from) any.add(to, cost(from, to));
      return Int32Array.from(any.stops);
    },
    greedy(first) {
      const left = trees();
      const order = new Int32Array(x.length);
      for (let i = 0, at = first; i < order.length; i++) {
        order[i] = at;
        left[rounds[at]].remove(at);
        if (i + 1 < order.length) at = cheapestLeft(at, left, { x, y, rounds, thinBeside });
      }
      return order;
    },
  };
}

/** The nearest stop of the nearest round in which one is left; one that thin film lies before only for want of others. */
function cheapestLeft(from: number, left: readonly NearTree[], stops: Stops): number {
  const { x, y, rounds, thinBeside } = stops;
  for (let off = 0; ; off++) {
    for (const thinToo of [false, true]) {
      const found = few(1);
      const rounded = off === 0 ? [rounds[from]] : [rounds[from] - off, rounds[from] + off];
      for (const round of rounded.filter((each) => each >= 0 && each < left.length)) {
        left[round].near(x[from], y[from], (to, distance) =>
          !thinToo && thinBeside[from].includes(to) ? found.limit() : found.add(to, distance),
        );
      }
      if (found.stops.length > 0) return found.stops[0];
    }
  }
}

/** The few cheapest of what is added, cheapest first; of equal ones the lower number. */
interface Few {
  readonly stops: readonly number[];
  /** @returns what one must not cost more than to be among them */
  add(stop: number, cost: number): number;
  limit(): number;
}

function few(most: number): Few {
  const stops: number[] = [];
  const costs: number[] = [];
  const limit = (): number => (stops.length < most ? Infinity : costs[most - 1]);
  return {
    stops,
    limit,
    add(stop, cost) {
      let at = stops.length;
      while (at > 0 && (costs[at - 1] > cost || (costs[at - 1] === cost && stops[at - 1] > stop)))
        at--;
      stops.splice(at, 0, stop);
      costs.splice(at, 0, cost);
      stops.length = costs.length = Math.min(most, stops.length);
      return limit();
    },
  };
}
