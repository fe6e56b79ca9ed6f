import { seededRandom } from '../common/seeded-random.js';
import { Bin, fits, isLess, type Fit, type RectangleSize } from './maximal-rectangles.js';

export type { RectangleSize } from './maximal-rectangles.js';

/** Where one rectangle lies: on which sheet, its top left corner, and whether it was turned by a quarter. */
interface PackedRectangle {
  readonly sheet: number;
  readonly x: number;
  readonly y: number;
  readonly turned: boolean;
}

/** Rectangles laid on sheets. */
export interface Packed {
  /** One a rectangle, in the order of the rectangles. */
  readonly laid: readonly PackedRectangle[];
  readonly sheets: number;
  /** No packing takes fewer sheets than this: all areas, each with its gap, over that of a sheet. */
  readonly areaBound: number;
}

/**
 * How many orders are tried beyond the sorted ones, at most, and how many rectangles that may take in all: what keeps a
 * packing within the time of a person's patience.
 */
const MOST_SHUFFLES = 150;
const MOST_LAID = 20_000;
/** In so many grades, from hardly to all over, a sorted order is shuffled: a good one is mostly near the sorted ones. */
const GRADES = 8;
/** Any number: the same cards give the same packing. */
const SEED = 20;
/** What sums of decimal numbers may be off by in binary, in mm and in sheets. */
const ROUNDING = 1e-9;

type Comparator = (a: RectangleSize, b: RectangleSize) => number;

const area = ({ width, height }: RectangleSize): number => width * height;
const long = ({ width, height }: RectangleSize): number => Math.max(width, height);
const short = ({ width, height }: RectangleSize): number => Math.min(width, height);

/** Large ones first, by what is large about them. */
const orders: readonly Comparator[] = [
  (a, b) => area(b) - area(a),
  (a, b) => long(b) - long(a) || short(b) - short(a),
  (a, b) => short(b) - short(a) || long(b) - long(a),
  (a, b) => long(b) + short(b) - long(a) - short(a),
];

/**
 * Lays rectangles on as few sheets as it finds, turned by a quarter where that saves a sheet, with a gap between one
 * and the next. The same rectangles give the same packing.
 *
 * MAXRECTS of Jylänki, "A thousand ways to pack the bin" (2010), with each of its ways to choose a place: sheet by
 * sheet with what sits best of all that is left; where that does not reach the area bound, one by one in several
 * orders, and in orders that are shuffled a little.
 *
 * @param sizes in mm; each fits on a sheet, one way or the other (see `fitsOn`)
 */
export function pack(sizes: readonly RectangleSize[], sheet: RectangleSize, gap: number): Packed {
  // A rectangle and the gap to its right and below lie on a sheet that is a gap larger.
  const grown = sizes.map((size) => grow(size, gap));
  const bin = grow(sheet, gap);
  const areaBound = Math.ceil(
    grown.reduce((sum, size) => sum + area(size), 0) / area(bin) - ROUNDING,
  );
  let best = bestOf(fits.map((fit) => attemptByFit(grown, bin, fit)));
  for (const order of ordersFor(grown)) {
    if (best.sheets <= areaBound) break;
    best = bestOf([best, ...fits.map((fit) => attempt(grown, order, bin, fit))]);
  }
  return { laid: best.laid, sheets: best.sheets, areaBound };
}

/** Whether a rectangle fits on an empty sheet, one way or the other. */
export function fitsOn(size: RectangleSize, sheet: RectangleSize): boolean {
  return long(size) <= long(sheet) + ROUNDING && short(size) <= short(sheet) + ROUNDING;
}

function grow({ width, height }: RectangleSize, by: number): RectangleSize {
  return { width: width + by, height: height + by };
}

/** Orders in which to lay them, as indices: first the sorted ones, then those shuffled a little. */
function* ordersFor(sizes: readonly RectangleSize[]): Generator<readonly number[]> {
  const plain = sizes.map((_, i) => i);
  for (const order of orders) yield plain.toSorted((a, b) => order(sizes[a], sizes[b]) || a - b);
  const sorted = plain.toSorted((a, b) => orders[0](sizes[a], sizes[b]) || a - b);
  const random = seededRandom(SEED);
  const tries = Math.min(MOST_SHUFFLES, Math.floor(MOST_LAID / (fits.length * (sizes.length + 1))));
  for (let i = 0; i < tries; i++) {
    const keys = sorted.map(
      (_, rank) => rank + random() * (2 + (sorted.length * (i % GRADES)) / GRADES),
    );
    const ranks = sorted.map((_, rank) => rank).toSorted((a, b) => keys[a] - keys[b]);
    yield ranks.map((rank) => sorted[rank]);
  }
}

interface Attempt {
  readonly laid: readonly PackedRectangle[];
  readonly sheets: number;
  /** The largest piece of film that stays whole on the last sheet. */
  readonly room: number;
}

function bestOf(attempts: readonly Attempt[]): Attempt {
  return attempts.reduce((best, tried) => (isBetter(tried, best) ? tried : best));
}

function isBetter(a: Attempt, b: Attempt): boolean {
  return a.sheets < b.sheets || (a.sheets === b.sheets && a.room > b.room + ROUNDING);
}

const TOO_LARGE = 'A rectangle is larger than the sheet';

/** Lays them one after the other, each on the first sheet that has a place, in its best place there. */
function attempt(
  sizes: readonly RectangleSize[],
  order: readonly number[],
  sheet: RectangleSize,
  fit: Fit,
): Attempt {
  const bins: Bin[] = [];
  const laid: PackedRectangle[] = [];
  for (const i of order) {
    let at = bins.findIndex((bin) => bin.best(sizes[i], fit));
    if (at < 0) at = bins.push(new Bin(sheet)) - 1;
    const place = bins[at].best(sizes[i], fit);
    if (!place) throw new RangeError(TOO_LARGE);
    bins[at].take(place.at);
    laid[i] = { sheet: at, x: place.at.x, y: place.at.y, turned: place.turned };
  }
  return { laid, sheets: bins.length, room: bins.at(-1)?.room ?? 0 };
}

/** Fills one sheet after the other, each time with the rectangle that sits best of all that are left. */
function attemptByFit(sizes: readonly RectangleSize[], sheet: RectangleSize, fit: Fit): Attempt {
  const left = new Set(sizes.keys());
  const bins: Bin[] = [];
  const laid: PackedRectangle[] = [];
  while (left.size > 0) {
    const bin = new Bin(sheet);
    bins.push(bin);
    const before = left.size;
    for (;;) {
      let best: { i: number; place: NonNullable<ReturnType<Bin['best']>> } | undefined;
      for (const i of left) {
        const place = bin.best(sizes[i], fit);
        if (place && (!best || isLess(place.score, best.place.score))) best = { i, place };
      }
      if (!best) break;
      const { i, place } = best;
      left.delete(i);
      bin.take(place.at);
      laid[i] = { sheet: bins.length - 1, x: place.at.x, y: place.at.y, turned: place.turned };
    }
    if (left.size === before) throw new RangeError(TOO_LARGE);
  }
  return { laid, sheets: bins.length, room: bins.at(-1)?.room ?? 0 };
}
