import type { Mark } from '../../src/settings/marks.js';

/** A place in the picture, in percent of its width and its height. */
export type PercentSpot = readonly [number, number];

/**
 * Spots of a line nearer than this to the one before are left out, in percent of the picture: they add nothing to a
 * stroke's shape. By eye.
 */
const NEAR = 0.6;
/** A box thinner than this was a click, in percent. */
const THINNEST = 1;

/** The mark that a drawn line makes; undefined for one that holds nothing. */
export function markOf(way: Mark['do'], drawn: readonly PercentSpot[]): Mark | undefined {
  const spots = thinned(drawn).map(tenths);
  const [first] = spots;
  if (first === undefined) return undefined;
  switch (way) {
    case 'box': {
      const last = tenths(drawn[drawn.length - 1]);
      const sides = [Math.abs(last[0] - first[0]), Math.abs(last[1] - first[1])];
      return Math.min(...sides) < THINNEST ? undefined : { do: way, from: first, to: last };
    }
    case 'lasso':
      return spots.length < 3 ? undefined : { do: way, along: spots };
    case 'this':
    case 'not-this':
      return { do: way, along: spots };
  }
}

/** A line without the spots that lie too near the one before. */
export function thinned(spots: readonly PercentSpot[], near = NEAR): readonly PercentSpot[] {
  const kept: PercentSpot[] = [];
  for (const spot of spots) {
    const last = kept.at(-1);
    if (!last || Math.hypot(spot[0] - last[0], spot[1] - last[1]) >= near) kept.push(spot);
  }
  return kept;
}

export const tenth = (percent: number): number => Math.round(percent * 10) / 10;
export const tenths = ([x, y]: PercentSpot): PercentSpot => [tenth(x), tenth(y)];
