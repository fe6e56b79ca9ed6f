import { nextNotOf, nextOf } from './lanes';

/**
 * Finds the runs of pixels of one value along the rows.
 *
 * @param rows room for one number a row, and one more: the row's first run
 * @param starts, ends room for the runs: half the pixels of a row, rounded up, for each row
 * @returns how many runs there are
 */
export function findRuns(
  data: StaticArray<u8>,
  width: i32,
  height: i32,
  value: i32,
  rows: StaticArray<i32>,
  starts: StaticArray<i32>,
  ends: StaticArray<i32>,
): i32 {
  let n = 0;
  for (let y = 0, i = 0; y < height; y++) {
    rows[y] = n;
    const end = i + width;
    while (i < end) {
      i = nextOf(data, i, end, value);
      if (i === end) break;
      starts[n] = i;
      i = nextNotOf(data, i, end, value);
      ends[n++] = i;
    }
  }
  rows[height] = n;
  return n;
}

/**
 * Joins the runs that touch, and numbers the regions in order of their first pixel, from 1: Rosenfeld & Pfaltz,
 * "Sequential operations in digital picture processing", J. ACM 13 (1966), by runs instead of by pixels.
 *
 * @param reach 1 where pixels that touch by a corner are connected, else 0
 * @param numbers room for a number a run: that of its region
 * @param areas, first, bounds by region number: its pixels, its first pixel, and the left, top, right and bottom pixel
 *   of the box round it
 * @returns how many regions there are
 */
export function numberRegions(
  width: i32,
  height: i32,
  reach: i32,
  rows: StaticArray<i32>,
  starts: StaticArray<i32>,
  ends: StaticArray<i32>,
  parent: StaticArray<i32>,
  numbers: StaticArray<i32>,
  areas: StaticArray<i32>,
  first: StaticArray<i32>,
  bounds: StaticArray<i32>,
): i32 {
  joinRuns(width, height, reach, starts, ends, rows, parent);
  areas[0] = 0;
  first[0] = -1;
  for (let k = 0; k < 4; k++) bounds[k] = 0;
  let regions = 0;
  for (let y = 0; y < height; y++) {
    for (let run = rows[y]; run < rows[y + 1]; run++) {
      const root = find(parent, run);
      if (root === run) {
        regions++;
        numbers[run] = regions;
        areas[regions] = 0;
        first[regions] = starts[run];
        bounds[4 * regions] = width;
        bounds[4 * regions + 1] = y;
        bounds[4 * regions + 2] = 0;
      }
      const number = numbers[root];
      numbers[run] = number;
      areas[number] += ends[run] - starts[run];
      const box = 4 * number;
      bounds[box] = min(bounds[box], starts[run] - y * width);
      bounds[box + 2] = max(bounds[box + 2], ends[run] - 1 - y * width);
      bounds[box + 3] = y;
    }
  }
  return regions;
}

/** Makes the forest in which runs that touch share a root: for each run its parent, the root being the earliest run. */
function joinRuns(
  width: i32,
  height: i32,
  reach: i32,
  starts: StaticArray<i32>,
  ends: StaticArray<i32>,
  rows: StaticArray<i32>,
  parent: StaticArray<i32>,
): void {
  for (let run = 0; run < rows[height]; run++) parent[run] = run;
  for (let y = 1; y < height; y++) {
    let above = rows[y - 1];
    const lastAbove = rows[y];
    for (let run = lastAbove; run < rows[y + 1]; run++) {
      const from = starts[run] - width - reach;
      const to = ends[run] - width + reach;
      while (above < lastAbove && ends[above] <= from) above++;
      for (let k = above; k < lastAbove && starts[k] < to; k++) union(parent, run, k);
    }
  }
}

function find(parent: StaticArray<i32>, run: i32): i32 {
  while (parent[run] !== run) {
    parent[run] = parent[parent[run]];
    run = parent[run];
  }
  return run;
}

function union(parent: StaticArray<i32>, a: i32, b: i32): void {
  const rootA = find(parent, a);
  const rootB = find(parent, b);
  if (rootA < rootB) parent[rootB] = rootA;
  else parent[rootA] = rootB;
}
