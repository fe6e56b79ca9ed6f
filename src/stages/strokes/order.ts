import type { Job } from '../../settings/job.js';
import type { Chain } from '../../geometry/chain.js';

/** A stroke as it is drawn: which one, and whether from its last point to its first. */
export interface DirectedStroke {
  readonly stroke: number;
  readonly isBack: boolean;
}

/** What the order looks at. */
export interface OrderedStroke extends Chain {
  readonly isClosed: boolean;
  /** Whether its first and its last point lie on another stroke, where the blob of a start does no harm. */
  readonly meets: readonly [boolean, boolean];
}

/**
 * Where the hand and its sleeve are while the nozzle is at a place, right-handed, in mm from there: beside it and
 * nearer to the person. Common practice, no source.
 */
const HAND = { left: -5, right: 90, top: 8, bottom: 120 };
/** So much travel is worth it to keep the hand off a stroke that is still hot, in mm: about the way across a card. A judgement, not measured. */
const OVER_FRESH_MM = 150;
/** What it costs to start away from a junction, where the blob of the start is seen, in mm of travel. A judgement, not measured. */
const BLOB_MM = 12;
/** What it costs to draw a stroke from near to far, so that the hand comes over it, in mm of travel. A judgement, not measured. */
const AGAINST_MM = 15;
/** Places along a stroke that are looked at: on a stroke across a card some 10 mm apart, a tenth of what the hand covers. */
const LOOKED = 12;
/** The least gain that counts, in mm: more than sums of lengths are off by in binary. */
const GAIN = 1e-9;
/** Rounds, at most, in which each stroke is moved to where it costs least: a bound, each round makes the whole cheaper. */
const ROUNDS = 12;

/**
 * The order in which strokes are drawn: from the far side to the near, so that the hand does not pass over fresh glue,
 * and with little way between them.
 *
 * It begins sorted from far to near, then each stroke is moved to where it costs least until none gains by it; last,
 * each is turned to begin where the one before ends, by dynamic programming.
 */
export function orderStrokes(
  strokes: readonly OrderedStroke[],
  hand: Job['handedness'],
): DirectedStroke[] {
  const n = strokes.length;
  const side = hand === 'right' ? 1 : -1;
  const looked = strokes.map((stroke) => placesOn(stroke, side));
  const harm = looked.map((a) => looked.map((b) => shareUnder(a, b)));
  const way = strokes.map((a, i) => strokes.map((b, j) => (i === j ? 0 : nearestEnds(a, b))));
  const far = looked.map((places) => mean(places.map(([x, y]) => y + x / 2)));
  const order = strokes.map((_, k) => k).sort((a, b) => far[a] - far[b] || a - b);
  // What it costs that a is drawn at some time before b, and right before b.
  const early = (a: number, b: number): number => OVER_FRESH_MM * harm[a][b];
  const next = (a: number | undefined, b: number | undefined): number =>
    a === undefined || b === undefined ? 0 : way[a][b];
  for (let round = 0; round < ROUNDS; round++) {
    let changes = 0;
    for (let stroke = 0; stroke < n; stroke++) {
      const at = order.indexOf(stroke);
      const rest = order.filter((one) => one !== stroke);
      // The cost of each place, less that of the first: moving past a stroke turns their order round.
      let [best, least, sum, own] = [at, Infinity, 0, 0];
      for (let k = 0; k <= rest.length; k++) {
        if (k > 0) sum += early(rest[k - 1], stroke) - early(stroke, rest[k - 1]);
        const cost = sum + next(rest[k - 1], stroke) + next(stroke, rest[k]) - next(rest[k - 1], rest[k]); // prettier-ignore
        if (k === at) own = cost;
        if (cost < least - GAIN) [best, least] = [k, cost];
      }
      if (best === at || least >= own - GAIN) continue;
      rest.splice(best, 0, stroke);
      order.splice(0, n, ...rest);
      changes++;
    }
    if (changes === 0) break;
  }
  return withDirections(order, strokes, side);
}

type Place = readonly [number, number];

/** Places along a stroke, as a right hand sees them. */
function placesOn({ x, y }: Chain, side: 1 | -1): Place[] {
  const count = Math.min(LOOKED, x.length);
  return Array.from({ length: count }, (_, k) => {
    const i = Math.round((k * (x.length - 1)) / Math.max(1, count - 1));
    return [side * x[i], y[i]] as const;
  });
}

/** The share of `fresh` that lies under the hand while `drawn` is drawn. */
function shareUnder(fresh: readonly Place[], drawn: readonly Place[]): number {
  const under = fresh.filter(([x, y]) =>
    drawn.some(
      ([px, py]) =>
        x - px > HAND.left && x - px < HAND.right && y - py > HAND.top && y - py < HAND.bottom,
    ),
  );
  return under.length / fresh.length;
}

const mean = (values: readonly number[]): number =>
  values.reduce((sum, value) => sum + value, 0) / values.length;

const endsOf = ({ x, y }: Chain): readonly Place[] => [
  [x[0], y[0]],
  [x[x.length - 1], y[y.length - 1]],
];

const placeDistance = ([ax, ay]: Place, [bx, by]: Place): number => Math.hypot(bx - ax, by - ay);

function nearestEnds(a: Chain, b: Chain): number {
  return Math.min(...endsOf(a).flatMap((from) => endsOf(b).map((to) => placeDistance(from, to))));
}

function withDirections(
  order: readonly number[],
  strokes: readonly OrderedStroke[],
  side: 1 | -1,
): DirectedStroke[] {
  const own = ({ x, y, meets, isClosed }: OrderedStroke, isBack: boolean): number => {
    if (isClosed) return 0;
    const far = (i: number): number => y[i] + (side * x[i]) / 2;
    const last = x.length - 1;
    const isAgainst = isBack ? far(last) > far(0) : far(0) > far(last);
    const [start, end] = isBack ? [meets[1], meets[0]] : meets;
    return (isAgainst ? AGAINST_MM : 0) + (!start && end ? BLOB_MM : 0);
  };
  // By place in the order and direction: the least cost so far, and the direction before that gave it.
  const costs: (readonly [number, number])[] = [];
  const before: (readonly [number, number])[] = [];
  order.forEach((stroke, k) => {
    const found = [0, 1].map((isBack) => {
      const begins = endsOf(strokes[stroke])[isBack];
      const ways = [0, 1].map((was) =>
        k === 0
          ? 0
          : costs[k - 1][was] + placeDistance(endsOf(strokes[order[k - 1]])[1 - was], begins),
      );
      const from = ways[1] < ways[0] ? 1 : 0;
      return [ways[from] + own(strokes[stroke], isBack === 1), from] as const;
    });
    costs.push([found[0][0], found[1][0]]);
    before.push([found[0][1], found[1][1]]);
  });
  const drawn: DirectedStroke[] = [];
  const last = costs.at(-1);
  let at = last && last[1] < last[0] ? 1 : 0;
  for (let k = order.length - 1; k >= 0; k--) {
    drawn.push({ stroke: order[k], isBack: at === 1 });
    at = before[k][at];
  }
  return drawn.reverse();
}
