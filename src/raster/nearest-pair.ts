import { runsOf, type RegionRuns, type PixelRun } from './labels.js';

interface Pixel {
  readonly x: number;
  readonly y: number;
}

/**
 * The pixel of one region that is nearest to some others, and the pixel of those that is nearest to it; the first of
 * several, row by row.
 *
 * By runs: from each one the others are looked at row by row, outwards, until the rows alone are too far away.
 *
 * @param stride pixels in a row of the bitmap
 */
export function nearestPair(
  regions: RegionRuns,
  stride: number,
  one: number,
  others: readonly number[],
): readonly [Pixel, Pixel] {
  const far = runsOf(regions, stride, others);
  let least = Infinity;
  let from: Pixel = { x: 0, y: 0 };
  let level = 0;
  for (const run of runsOf(regions, stride, [one])) {
    while (level < far.length && far[level].row < run.row) level++;
    const look = (k: number): boolean => {
      const away = (far[k].row - run.row) ** 2;
      if (away > least) return false;
      const x = nearestIn(run, far[k]);
      const squared = away + (x - nearestIn(far[k], { first: x, last: x })) ** 2;
      if (squared < least || (squared === least && run.row === from.y && x < from.x)) {
        least = squared;
        from = { x, y: run.row };
      }
      return true;
    };
    for (let k = level; k < far.length && look(k);) k++;
    for (let k = level - 1; k >= 0 && look(k);) k--;
  }
  return [from, nearestTo(from, far)];
}

/** The column of a run that is nearest to another run; the first of several. */
function nearestIn({ first, last }: Omit<PixelRun, 'row'>, to: Omit<PixelRun, 'row'>): number {
  return Math.min(last, Math.max(first, to.first));
}

function nearestTo({ x, y }: Pixel, runs: readonly PixelRun[]): Pixel {
  let least = Infinity;
  let to: Pixel = { x, y };
  for (const run of runs) {
    const at = nearestIn(run, { first: x, last: x });
    const squared = (at - x) ** 2 + (run.row - y) ** 2;
    if (squared >= least) continue;
    least = squared;
    to = { x: at, y: run.row };
  }
  return to;
}
