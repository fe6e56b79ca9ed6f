import { runsOf, type RegionRuns } from './labels.js';
import { stepsRound } from './neighbours.js';
import type { Bitmap } from './raster.js';

/**
 * The shortest way from one region to another through pixels that are 1, by steps to one of eight neighbours: all
 * pixels from the last one of the region to the first one of another. The regions lie among those pixels.
 *
 * Breadth-first: E. F. Moore, The shortest path through a maze, Proceedings of the International Symposium on the
 * Theory of Switching, 1959.
 *
 * @returns pixels by their place in the bitmap; none where there is no way
 */
export function shortestPathThrough(
  { width, data }: Bitmap,
  regions: RegionRuns,
  from: number,
  others: readonly number[],
): number[] {
  const steps = stepsRound(width);
  const goals = new Set(others.flatMap((region) => pixelsOf(regions, width, region)));
  const queue = pixelsOf(regions, width, from);
  const cameFrom = new Map(queue.map((pixel) => [pixel, -1]));
  for (let at = 0; at < queue.length; at++) {
    for (const step of steps) {
      const next = queue[at] + step;
      const isBeside = Math.abs((next % width) - (queue[at] % width)) <= 1;
      if (!isBeside || data[next] !== 1 || cameFrom.has(next)) continue;
      cameFrom.set(next, queue[at]);
      if (goals.has(next)) return traced(cameFrom, next);
      queue.push(next);
    }
  }
  return [];
}

function traced(cameFrom: ReadonlyMap<number, number>, last: number): number[] {
  const way: number[] = [];
  for (let pixel = last; pixel >= 0; pixel = cameFrom.get(pixel) ?? -1) way.push(pixel);
  return way.reverse();
}

function pixelsOf(regions: RegionRuns, stride: number, region: number): number[] {
  return runsOf(regions, stride, [region]).flatMap(({ row, first, last }) =>
    Array.from({ length: last - first + 1 }, (_, k) => row * stride + first + k),
  );
}
