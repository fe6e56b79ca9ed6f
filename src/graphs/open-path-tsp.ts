import { seededRandom } from '../common/seeded-random.js';
/** What it costs to go from one stop to another; the same both ways. */
export type Cost = (from: number, to: number) => number;

/** Finds near stops where there are too many to look at every pair. */
export interface Neighbours {
  /** The `most` cheapest to go to from a stop, cheapest first. */
  nearest(stop: number, most: number): Int32Array;
  /** A way that always goes to the cheapest stop that is left. */
  greedy(first: number): Int32Array;
}

/**
 * A stop is tried beside so many near ones: a better way seldom leads further. Common practice, no source. A stretch
 * that is moved is up to three stops long, as in Or.
 */
const NEIGHBOURS = 10;
const LONGEST_MOVED = 3;
/**
 * Perturbations that are tried, for each stop and at most in all: 300 pieces come within 1.014 of their lower bound in 0.25 s with the files (`npm
 * run bench`).
 */
const PERTURBATIONS_PER_STOP = 5;
const MOST_PERTURBATIONS = 600;
/** Stops that a perturbation spans at the most: a short one costs little to better again, a longer one would change more. */
const PERTURBED = 30;
/** The least gain that counts, in the unit of the costs: against travel in mm it is nothing. */
const GAIN = 1e-9;
/** A gain of a smaller share of the whole way's cost may be rounding's, and could be had for ever. */
const ROUNDING = 8 * Number.EPSILON;
/** So many changes for each stop are made in all: with that the search ends whatever the costs are. */
const CHANGES_PER_STOP = 1000;

/**
 * A short open path through all stops, free to end at any of them: a greedy way, bettered by turning stretches round
 * and by moving short ones elsewhere, then perturbed and bettered again. The same stops give the same way.
 *
 * Croes, "A method for solving traveling-salesman problems", Oper. Res. 6 (1958); Or, doctoral thesis, Northwestern
 * University (1976); shaking: Martin, Otto & Felten, Complex Systems 5 (1991).
 *
 * @param first the stop that the greedy way starts from; the bettered way may start elsewhere
 * @param neighbours for many stops; without it every pair is looked at
 * @returns the stops in order
 */
export function shortOpenPath(
  count: number,
  cost: Cost,
  first = 0,
  neighbours?: Neighbours,
): Int32Array {
  if (count < 3) return greedyWay(count, cost, first);
  const looked = lookedUp(count, cost);
  const way = new OpenPath(neighbours?.greedy(first) ?? greedyWay(count, looked, first), looked);
  const near = neighbours
    ? Array.from({ length: count }, (_, stop) => neighbours.nearest(stop, NEIGHBOURS))
    : nearestStops(count, looked);
  const queue = [...way.order];
  improve(way, near, queue);
  doubleBridgeMove(way, near);
  return way.order;
}

/** Costs are asked for again and again: they are kept for up to so many stops, 4 MB. */
const MOST_KEPT = 700;

function lookedUp(count: number, cost: Cost): Cost {
  if (count > MOST_KEPT) return cost;
  const costs = new Float64Array(count * count);
  for (let a = 0; a < count; a++) {
    for (let b = 0; b < count; b++) costs[a * count + b] = cost(a, b);
  }
  return (a, b) => costs[a * count + b];
}

/** The sum of the costs from each stop to the next. */
export function wayCost(order: ArrayLike<number>, cost: Cost): number {
  let sum = 0;
  for (let i = 1; i < order.length; i++) sum += cost(order[i - 1], order[i]);
  return sum;
}

function greedyWay(count: number, cost: Cost, first: number): Int32Array {
  const order = Int32Array.from({ length: count }, (_, i) => i);
  if (count === 0) return order;
  [order[0], order[first]] = [order[first], order[0]];
  for (let i = 1; i < count; i++) {
    let best = i;
    for (let j = i + 1; j < count; j++) {
      if (cost(order[i - 1], order[j]) < cost(order[i - 1], order[best])) best = j;
    }
    [order[i], order[best]] = [order[best], order[i]];
  }
  return order;
}

/** The `NEIGHBOURS` nearest stops of each stop, nearest first. */
function nearestStops(count: number, cost: Cost): Int32Array[] {
  const most = Math.min(NEIGHBOURS, count - 1);
  return Array.from({ length: count }, (_, from) => {
    const near = new Int32Array(most);
    const costs = new Float64Array(most).fill(Infinity);
    for (let to = 0; to < count; to++) {
      if (to === from) continue;
      const c = cost(from, to);
      if (c >= costs[most - 1]) continue;
      let at = most - 1;
      for (; at > 0 && costs[at - 1] > c; at--) {
        costs[at] = costs[at - 1];
        near[at] = near[at - 1];
      }
      costs[at] = c;
      near[at] = to;
    }
    return near;
  });
}

/** An order of stops that knows where in it each stop is. */
class OpenPath {
  readonly place: Int32Array;
  /** A change that gains no more than this is not made: it may be rounding's. */
  readonly leastGain: number;
  /** How many changes may still be made. */
  left: number;

  constructor(
    readonly order: Int32Array,
    readonly cost: Cost,
  ) {
    this.place = new Int32Array(order.length);
    this.leastGain = Math.max(GAIN, ROUNDING * wayCost(order, cost));
    this.left = CHANGES_PER_STOP * order.length;
    for (let i = 0; i < order.length; i++) this.place[order[i]] = i;
  }

  /** The cost between the stops at two places; a place beyond an end costs nothing. */
  between(i: number, j: number): number {
    if (i < 0 || j < 0 || i >= this.order.length || j >= this.order.length) return 0;
    return this.cost(this.order[i], this.order[j]);
  }

  /** Turns the stretch from place i to place j round. */
  turn(i: number, j: number): void {
    const { order, place } = this;
    for (; i < j; i++, j--) {
      const stop = order[i];
      order[i] = order[j];
      order[j] = stop;
      place[order[i]] = i;
      place[order[j]] = j;
    }
    if (i === j) place[order[i]] = i;
  }

  restore(order: Int32Array): void {
    this.order.set(order);
    for (let i = 0; i < order.length; i++) this.place[order[i]] = i;
  }
}

/** Betters the way around the queued stops until nothing gains any more. Gives what was gained. */
function improve(way: OpenPath, near: readonly Int32Array[], queue: number[]): number {
  const queued = new Uint8Array(way.order.length);
  for (const stop of queue) queued[stop] = 1;
  let gained = 0;
  const touch = (place: number): void => {
    if (place < 0 || place >= way.order.length) return;
    const stop = way.order[place];
    if (queued[stop]) return;
    queued[stop] = 1;
    queue.push(stop);
  };
  for (let next = 0; next < queue.length; next++) {
    const stop = queue[next];
    queued[stop] = 0;
    for (; way.left > 0; way.left--) {
      const gain = tryTurns(way, stop, near[stop], touch) || tryMoves(way, stop, near[stop], touch);
      if (gain === 0) break;
      gained += gain;
    }
  }
  return gained;
}

type Touch = (place: number) => void;

/** Turns a stretch so that `stop` gets a near stop beside it. Gives the gain, 0 when none was found. */
function tryTurns(way: OpenPath, stop: number, near: Int32Array, touch: Touch): number {
  const here = way.place[stop];
  const longest = Math.max(way.between(here - 1, here), way.between(here, here + 1));
  for (const other of near) {
    if (way.cost(stop, other) >= longest) break; // nor is anything further off a gain
    const low = Math.min(here, way.place[other]);
    const high = Math.max(here, way.place[other]);
    // Beside each other at the stretch's near end, or at its far end.
    const gain = turnFor(way, low + 1, high, touch) || turnFor(way, low, high - 1, touch);
    if (gain > 0) return gain;
  }
  return turnFor(way, 0, here, touch) || turnFor(way, here, way.order.length - 1, touch);
}

/** Turns the stretch from i to j if that gains. */
function turnFor(way: OpenPath, i: number, j: number, touch: Touch): number {
  if (i >= j) return 0;
  const gain =
    way.between(i - 1, i) + way.between(j, j + 1) - way.between(i - 1, j) - way.between(i, j + 1);
  if (gain <= way.leastGain) return 0;
  way.turn(i, j);
  touch(i - 1);
  touch(i);
  touch(j);
  touch(j + 1);
  return gain;
}

/** Moves a short stretch that starts or ends with `stop` beside a near stop. */
function tryMoves(way: OpenPath, stop: number, near: Int32Array, touch: Touch): number {
  const count = way.order.length;
  for (let length = 1; length <= LONGEST_MOVED; length++) {
    for (let side = 0; side < Math.min(length, 2); side++) {
      const i = way.place[stop] - side * (length - 1);
      const j = i + length - 1;
      if (i < 0 || j >= count) continue;
      const dropped = way.between(i - 1, i) + way.between(j, j + 1);
      const lifted = dropped - bridged(way, i - 1, j + 1);
      if (lifted <= way.leastGain) continue;
      for (const other of near) {
        if (way.cost(stop, other) >= dropped) break;
        const at = way.place[other];
        if (at >= i && at <= j) continue;
        const gain =
          tryGap(way, i, j, at, lifted, touch) || tryGap(way, i, j, at - 1, lifted, touch);
        if (gain > 0) return gain;
      }
    }
  }
  return 0;
}

/** What joins the two sides of a stretch when it is lifted out. */
function bridged(way: OpenPath, before: number, after: number): number {
  return before < 0 || after >= way.order.length ? 0 : way.between(before, after);
}

/** Puts the stretch from i to j between the places gap and gap + 1, the better way round. */
function tryGap(
  way: OpenPath,
  i: number,
  j: number,
  gap: number,
  lifted: number,
  touch: Touch,
): number {
  if (gap >= i - 1 && gap <= j) return 0;
  const opened = way.between(gap, gap + 1);
  const straight = way.between(gap, i) + way.between(j, gap + 1) - opened;
  const turned = way.between(gap, j) + way.between(i, gap + 1) - opened;
  const gain = lifted - Math.min(straight, turned);
  if (gain <= way.leastGain) return 0;
  const length = j - i;
  if (gap < i) {
    // Two stretches change places when both are turned, and then the two as one.
    way.turn(gap + 1, j);
    way.turn(gap + 2 + length, j);
    if (straight <= turned) way.turn(gap + 1, gap + 1 + length);
  } else {
    way.turn(i, gap);
    way.turn(i, gap - 1 - length);
    if (straight <= turned) way.turn(gap - length, gap);
  }
  for (const place of [i - 1, i, j, j + 1, gap, gap + 1, gap - length, gap + 1 + length])
    touch(place);
  return gain;
}

/** Swaps two neighbouring stretches at random places, betters the way again, and keeps what is shorter. */
function doubleBridgeMove(way: OpenPath, near: readonly Int32Array[]): void {
  const count = way.order.length;
  if (count < 5) return;
  const random = seededRandom(count);
  const span = Math.min(PERTURBED, count - 1);
  const perturbations = Math.min(MOST_PERTURBATIONS, PERTURBATIONS_PER_STOP * count);
  const before = way.order.slice();
  for (let k = 0; k < perturbations; k++) {
    const start = Math.floor(random() * (count - span));
    const cuts = [random(), random(), random()].map((r) => start + Math.floor(r * span));
    const [i, m, j] = cuts.sort((a, b) => a - b);
    if (i === m || m === j) continue;
    const places = [i, i + 1, m, m + 1, j, j + 1].filter((place) => place < count);
    const gain = swapStretches(way, i + 1, m, j) + improve(way, near, queueOf(way, places));
    if (gain > way.leastGain) before.set(way.order);
    else way.restore(before);
  }
}

function queueOf(way: OpenPath, places: readonly number[]): number[] {
  return [...new Set(places.map((place) => way.order[place]))];
}

/** Swaps the stretches i to m and m + 1 to j. Gives the gain, mostly a loss. */
function swapStretches(way: OpenPath, i: number, m: number, j: number): number {
  const gain =
    way.between(i - 1, i) +
    way.between(m, m + 1) +
    way.between(j, j + 1) -
    way.between(i - 1, m + 1) -
    way.between(j, i) -
    way.between(m, j + 1);
  way.turn(i, j);
  way.turn(i, i + j - m - 1);
  way.turn(i + j - m, j);
  return gain;
}
