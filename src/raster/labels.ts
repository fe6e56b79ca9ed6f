import type { Bitmap } from './raster.js';

/** The connected regions of one value, as runs of pixels along the rows. */
export interface RegionRuns {
  /** Each run's first pixel, and the pixel after its last; row by row. */
  readonly starts: Int32Array;
  readonly ends: Int32Array;
  /** By run, the number of its region: 1 to `count`, in order of first pixel from the top left. */
  readonly numbers: Int32Array;
  readonly count: number;
  /** Pixels by region number; `areas[0]` is 0. */
  readonly areas: Int32Array;
  /** By region number, its first pixel from the top left; `first[0]` is -1. */
  readonly first: Int32Array;
  /** By region number, four numbers: the left, top, right and bottom pixel of the box round it. */
  readonly bounds: Int32Array;
}

/** Regions with the number of its region in each pixel: 0 where the pixel has the other value. */
export interface Regions extends RegionRuns {
  readonly labels: Int32Array;
}

/**
 * Numbers the connected regions of the pixels of one value.
 *
 * @param connectivity 4 (pixels that share a side) or 8 (a corner is enough)
 */
export function labelRegions(bitmap: Bitmap, value: 0 | 1, connectivity: 4 | 8): Regions {
  const regions = findRegions(bitmap, value, connectivity);
  const { starts, ends, numbers } = regions;
  const labels = new Int32Array(bitmap.width * bitmap.height);
  for (let run = 0; run < starts.length; run++) {
    labels.fill(numbers[run], starts[run], ends[run]);
  }
  return { ...regions, labels };
}

/** Some of a raster's regions, by their numbers, without the others: 1 there. */
export function regionsAlone(
  { labels, areas }: Regions,
  { width, height }: Pick<Bitmap, 'width' | 'height'>,
  numbers: Iterable<number>,
): Bitmap {
  const isOne = new Uint8Array(areas.length);
  for (const number of numbers) isOne[number] = 1;
  const data = new Uint8Array(labels.length);
  for (let i = 0; i < data.length; i++) data[i] = isOne[labels[i]];
  return { width, height, data };
}

/**
 * Finds the connected regions of the pixels of one value, without writing a number into each pixel.
 *
 * Runs of pixels along the rows are joined to those of the row above in a union-find forest, whose roots are then
 * numbered: Rosenfeld & Pfaltz, "Sequential operations in digital picture processing", J. ACM 13 (1966), by runs
 * instead of by pixels.
 *
 * @param connectivity 4 (pixels that share a side) or 8 (a corner is enough)
 */
export function findRegions(bitmap: Bitmap, value: 0 | 1, connectivity: 4 | 8): RegionRuns {
  const runs = findRuns(bitmap, value);
  return { starts: runs.starts, ends: runs.ends, ...numberRegions(bitmap, runs, connectivity) };
}

/** Runs of pixels along the rows, each by its first pixel and the one after its last; row by row. */
interface Runs {
  readonly starts: Int32Array;
  readonly ends: Int32Array;
  /** By row, its first run; one number more than there are rows. */
  readonly rows: Int32Array;
}

/** Finds the runs of one value. */
function findRuns({ width, height, data }: Bitmap, value: 0 | 1): Runs {
  const rows = new Int32Array(height + 1);
  // Far fewer runs than there could be, one in two pixels, are usual: room is made as they come.
  let [starts, ends] = [new Int32Array(FIRST_ROOM), new Int32Array(FIRST_ROOM)];
  let n = 0;
  for (let y = 0, i = 0; y < height; y++) {
    rows[y] = n;
    const end = i + width;
    if (n + width > starts.length)
      [starts, ends] = [withRoom(starts, width), withRoom(ends, width)];
    for (;;) {
      while (i < end && data[i] !== value) i++;
      if (i === end) break;
      starts[n] = i;
      while (i < end && data[i] === value) i++;
      ends[n++] = i;
    }
  }
  rows[height] = n;
  return { starts: starts.slice(0, n), ends: ends.slice(0, n), rows };
}

/** Runs that there is room for at first: a drawing on a card of 4 in, 1000 px high, has some ten a row. */
const FIRST_ROOM = 10_000;

/** A longer copy, with room for at least so many more. */
function withRoom(runs: Int32Array<ArrayBuffer>, more: number): Int32Array<ArrayBuffer> {
  const longer = new Int32Array(2 * runs.length + more);
  longer.set(runs);
  return longer;
}

/** Numbers the regions of runs that touch, in order of their first pixel, from 1. */
function numberRegions(
  { width, height }: Pick<Bitmap, 'width' | 'height'>,
  runs: Runs,
  connectivity: 4 | 8,
): Omit<RegionRuns, 'starts' | 'ends'> {
  const { starts, ends, rows } = runs;
  const parent = forestOf(width, height, runs, connectivity === 8 ? 1 : 0);
  const numbers = new Int32Array(starts.length);
  const most = starts.length + 1;
  const [areas, first] = [new Int32Array(most), new Int32Array(most)];
  const bounds = new Int32Array(4 * most);
  first[0] = -1;
  let count = 0;
  for (let y = 0; y < height; y++) {
    for (let run = rows[y]; run < rows[y + 1]; run++) {
      const root = rootOf(parent, run);
      if (root === run) {
        numbers[run] = ++count;
        first[count] = starts[run];
        bounds[4 * count] = width;
        bounds[4 * count + 1] = y;
      }
      const number = numbers[root];
      numbers[run] = number;
      areas[number] += ends[run] - starts[run];
      const box = 4 * number;
      bounds[box] = Math.min(bounds[box], starts[run] - y * width);
      bounds[box + 2] = Math.max(bounds[box + 2], ends[run] - 1 - y * width);
      bounds[box + 3] = y;
    }
  }
  return {
    numbers,
    count,
    areas: areas.slice(0, count + 1),
    first: first.slice(0, count + 1),
    bounds: bounds.slice(0, 4 * (count + 1)),
  };
}

/**
 * By run, its parent in the forest in which runs that touch share a root. The root is the earliest run of its tree, so
 * that regions are numbered by their first pixel in one pass; `unionFind` of `src/graphs`, by size, has no such root.
 *
 * @param reach pixels beyond a run's ends that still touch in the next row: 1 where corners connect, else 0
 */
function forestOf(
  width: number,
  height: number,
  { starts, ends, rows }: Runs,
  reach: 0 | 1,
): Int32Array {
  const parent = new Int32Array(starts.length);
  for (let run = 0; run < parent.length; run++) parent[run] = run;
  for (let y = 1; y < height; y++) {
    let above = rows[y - 1];
    const lastAbove = rows[y];
    for (let run = lastAbove; run < rows[y + 1]; run++) {
      const from = starts[run] - width - reach;
      const to = ends[run] - width + reach;
      while (above < lastAbove && ends[above] <= from) above++;
      for (let k = above; k < lastAbove && starts[k] < to; k++) unite(parent, run, k);
    }
  }
  return parent;
}

/** The root of a run's tree; halves the paths that it goes. */
function rootOf(parent: Int32Array, run: number): number {
  let at = run;
  while (parent[at] !== at) {
    parent[at] = parent[parent[at]];
    at = parent[at];
  }
  return at;
}

/** Makes one tree of two, under the earlier root. */
function unite(parent: Int32Array, a: number, b: number): void {
  const [rootA, rootB] = [rootOf(parent, a), rootOf(parent, b)];
  if (rootA < rootB) parent[rootB] = rootA;
  else parent[rootA] = rootB;
}

/** The number of the region that a pixel belongs to; 0 where the pixel has the other value. */
export function regionOf(regions: RegionRuns, pixel: number): number {
  const run = firstRunBeyond(regions, pixel);
  return run < regions.starts.length && regions.starts[run] <= pixel ? regions.numbers[run] : 0;
}

/** The first run that ends beyond a pixel. Runs ascend, so that it is found by halves. */
function firstRunBeyond({ ends }: RegionRuns, pixel: number): number {
  let [low, high] = [0, ends.length];
  while (low < high) {
    const middle = (low + high) >> 1;
    if (ends[middle] <= pixel) low = middle + 1;
    else high = middle;
  }
  return low;
}

/** A run of pixels in a row: the columns of its first and its last one. */
export interface PixelRun {
  readonly row: number;
  readonly first: number;
  readonly last: number;
}

/**
 * The runs of some regions, in order.
 *
 * @param stride pixels in a row of the bitmap
 */
export function runsOf(regions: RegionRuns, stride: number, wanted: readonly number[]): PixelRun[] {
  const { starts, ends, numbers, bounds, first } = regions;
  const isWanted = new Set(wanted);
  const top = Math.min(...wanted.map((region) => first[region]));
  const below = stride * (Math.max(...wanted.map((region) => bounds[4 * region + 3])) + 1);
  const runs: PixelRun[] = [];
  for (let k = firstRunBeyond(regions, top); k < starts.length && starts[k] < below; k++) {
    if (!isWanted.has(numbers[k])) continue;
    const row = Math.floor(starts[k] / stride);
    runs.push({ row, first: starts[k] - row * stride, last: ends[k] - 1 - row * stride });
  }
  return runs;
}
