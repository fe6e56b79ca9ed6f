import type { Bitmap } from './raster.js';

/** The connected regions of one value, as runs of pixels along the rows. */
export interface RegionRuns {
  /** Each run's first pixel, and the pixel after its last; row by row. */
  readonly starts: readonly number[];
  readonly ends: readonly number[];
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
  const labels = new Int32Array(bitmap.width * bitmap.height);
  const { starts, ends, numbers } = regions;
  for (let run = 0; run < starts.length; run++) labels.fill(numbers[run], starts[run], ends[run]);
  return { ...regions, labels };
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
  return numberRuns(bitmap, runs, joinRuns(runs, connectivity === 8 ? 1 : 0));
}

/** Runs of one value along the rows: pixel numbers, and the number of each row's first run. */
interface Runs {
  readonly width: number;
  readonly starts: readonly number[];
  readonly ends: readonly number[];
  readonly rows: Int32Array;
}

function findRuns({ width, height, data }: Bitmap, value: number): Runs {
  const starts: number[] = [];
  const ends: number[] = [];
  const rows = new Int32Array(height + 1);
  for (let y = 0, i = 0; y < height; y++) {
    rows[y] = starts.length;
    const end = i + width;
    while (i < end) {
      while (i < end && data[i] !== value) i++;
      if (i === end) break;
      starts.push(i);
      while (i < end && data[i] === value) i++;
      ends.push(i);
    }
  }
  rows[height] = starts.length;
  return { width, starts, ends, rows };
}

/** The forest in which runs that touch share a root: for each run its parent, the root being the earliest run. */
function joinRuns({ width, starts, ends, rows }: Runs, reach: number): Int32Array {
  const parent = Int32Array.from({ length: starts.length }, (_, run) => run);
  for (let y = 1; y < rows.length - 1; y++) {
    let above = rows[y - 1];
    const lastAbove = rows[y];
    for (let run = lastAbove; run < rows[y + 1]; run++) {
      const from = starts[run] - width - reach;
      const to = ends[run] - width + reach;
      while (above < lastAbove && ends[above] <= from) above++;
      for (let k = above; k < lastAbove && starts[k] < to; k++) union(parent, run, k);
    }
  }
  return parent;
}

function find(parent: Int32Array, run: number): number {
  while (parent[run] !== run) {
    parent[run] = parent[parent[run]];
    run = parent[run];
  }
  return run;
}

function union(parent: Int32Array, a: number, b: number): void {
  const rootA = find(parent, a);
  const rootB = find(parent, b);
  if (rootA < rootB) parent[rootB] = rootA;
  else parent[rootA] = rootB;
}

function numberRuns(
  { width, height }: Bitmap,
  { starts, ends }: Runs,
  parent: Int32Array,
): RegionRuns {
  const numbers = new Int32Array(starts.length);
  const areas = [0];
  const first = [-1];
  const bounds = [0, 0, 0, 0];
  for (let run = 0; run < starts.length; run++) {
    const root = find(parent, run);
    if (root === run) {
      numbers[run] = areas.length;
      areas.push(0);
      first.push(starts[run]);
      bounds.push(width, height, 0, 0);
    }
    const number = numbers[root];
    numbers[run] = number;
    areas[number] += ends[run] - starts[run];
    const y = Math.floor(starts[run] / width);
    const left = starts[run] - y * width;
    const box = 4 * number;
    bounds[box] = Math.min(bounds[box], left);
    bounds[box + 1] = Math.min(bounds[box + 1], y);
    bounds[box + 2] = Math.max(bounds[box + 2], left + ends[run] - starts[run] - 1);
    bounds[box + 3] = y;
  }
  return {
    starts,
    ends,
    numbers,
    count: areas.length - 1,
    areas: Int32Array.from(areas),
    first: Int32Array.from(first),
    bounds: Int32Array.from(bounds),
  };
}
