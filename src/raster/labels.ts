import * as kernels from '../kernels/generated.js';
import { kernelArrays } from '../kernels/memory.js';
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
  const { width, height, data } = bitmap;
  const most = height * Math.ceil(width / 2);
  const [source, rows, starts, ends, parent, numbers, areas, first, bounds] = kernelArrays(
    [Uint8Array, width * height],
    [Int32Array, height + 1],
    [Int32Array, most],
    [Int32Array, most],
    [Int32Array, most],
    [Int32Array, most],
    [Int32Array, most + 1],
    [Int32Array, most + 1],
    [Int32Array, 4 * (most + 1)],
  );
  source.set(data);
  const runs = kernels.findRuns(source, width, height, value, rows, starts, ends);
  const reach = connectivity === 8 ? 1 : 0;
  const count = kernels.numberRegions(
    width,
    height,
    reach,
    rows,
    starts,
    ends,
    parent,
    numbers,
    areas,
    first,
    bounds,
  );
  return {
    starts: starts.slice(0, runs),
    ends: ends.slice(0, runs),
    numbers: numbers.slice(0, runs),
    count,
    areas: areas.slice(0, count + 1),
    first: first.slice(0, count + 1),
    bounds: bounds.slice(0, 4 * (count + 1)),
  };
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
