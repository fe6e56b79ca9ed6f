import { squaredDistance } from '../../raster/distance.js';
import type { Bitmap } from '../../raster/raster.js';
import type { Stroke } from '../../raster/strokes.js';

/** Places of a stroke, one after the other; in a closed one they may go on beyond its end, at its beginning. */
export interface StrokeSection {
  /** The stroke's number. */
  readonly stroke: number;
  readonly first: number;
  readonly count: number;
}

/**
 * The parts of strokes, at least `least` places long, of which nothing is left in a print: no opening lies within `near`
 * px of their middle.
 */
export function lostRuns(
  strokes: readonly Stroke[],
  print: Bitmap,
  near: number,
  least: number,
): StrokeSection[] {
  const squared = squaredDistance(print, 1, near + 1);
  return strokes.flatMap(({ x, y, isClosed }, stroke) => {
    const isLost = Array.from(x, (_, k) => {
      const i = Math.round(y[k]) * print.width + Math.round(x[k]);
      return squared[i] > near * near;
    });
    return runsOf(isLost, isClosed)
      .filter(({ count }) => count >= least)
      .map((run) => ({ stroke, ...run }));
  });
}

function runsOf(
  marked: readonly boolean[],
  isClosed: boolean,
): { readonly first: number; readonly count: number }[] {
  const n = marked.length;
  const begin = isClosed ? marked.indexOf(false) : 0;
  if (begin < 0) return [{ first: 0, count: n }];
  const runs: { first: number; count: number }[] = [];
  for (let k = begin; k < begin + n; k++) {
    if (!marked[k % n]) continue;
    const last = runs.at(-1);
    if (last && last.first + last.count === k) last.count++;
    else runs.push({ first: k, count: 1 });
  }
  return runs;
}
