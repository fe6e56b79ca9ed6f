import { findRegions, regionOf, type RegionRuns } from './labels.js';
import type { Bitmap } from './raster.js';

/** What became of a part: gone, run together with a larger one of its value or with the film round all, or there. */
export type Fate = 'kept' | 'dropped' | 'merged';

/** A dark region of a bitmap, or a light one that dark ones enclose; places and sizes in px. */
export interface Part {
  readonly value: 0 | 1;
  /** Its number among the regions of its value. */
  readonly label: number;
  readonly area: number;
  /** Its first pixel, row by row. */
  readonly first: number;
  readonly box: readonly [left: number, top: number, right: number, bottom: number];
}

/** The parts of a bitmap, and all its regions. */
export interface Parts {
  readonly dark: RegionRuns;
  readonly light: RegionRuns;
  readonly list: readonly Part[];
}

/** A part that has this share of itself left is there still: the rest may be what the widths took from its rim. */
const LEFT = 0.25;

/** The parts of a bitmap that have at least so many pixels; the film round everything is none. */
export function partsOf(bitmap: Bitmap, smallest: number): Parts {
  const dark = findRegions(bitmap, 1, 8);
  const light = findRegions(bitmap, 0, 4);
  const listed = (value: 0 | 1, { areas, first, bounds }: RegionRuns): Part[] =>
    [...areas.keys()]
      .filter(
        (label) => label > 0 && areas[label] >= smallest && !(value === 0 && first[label] === 0),
      )
      .map((label) => {
        const [left, top, right, bottom] = bounds.subarray(4 * label, 4 * label + 4);
        return {
          value,
          label,
          area: areas[label],
          first: first[label],
          box: [left, top, right, bottom],
        };
      });
  return { dark, light, list: [...listed(1, dark), ...listed(0, light)] };
}

/** What became of each part in a bitmap whose widths are kept. */
export function fatesOf({ dark, light, list }: Parts, finished: Bitmap): Fate[] {
  const homes = [
    homesOf(light, findRegions(finished, 0, 4)),
    homesOf(dark, findRegions(finished, 1, 8)),
  ];
  const largest = new Map<string, Part>();
  const homeOf = (part: Part): string => `${part.value} ${homes[part.value].home[part.label]}`;
  for (const part of list) {
    const other = largest.get(homeOf(part));
    if (!other || part.area > other.area) largest.set(homeOf(part), part);
  }
  // The film round everything holds what runs together with it.
  const outside = `0 ${homes[0].outside}`;
  return list.map((part) => {
    if (homes[part.value].left[part.label] < LEFT * part.area) return 'dropped';
    const home = homeOf(part);
    return home === outside || largest.get(home) !== part ? 'merged' : 'kept';
  });
}

/** For each region: the region of the finished bitmap that most of it lies in, and how much of it is left in all. */
function homesOf(regions: RegionRuns, finished: RegionRuns) {
  const shares = Array.from({ length: regions.count + 1 }, () => new Map<number, number>());
  const left = new Int32Array(regions.count + 1);
  for (const [run, other, pixels] of commonRuns(regions, finished)) {
    const share = shares[regions.numbers[run]];
    const home = finished.numbers[other];
    left[regions.numbers[run]] += pixels;
    share.set(home, (share.get(home) ?? 0) + pixels);
  }
  const home = shares.map((share) => {
    const best = [...share].reduce((a, b) => (b[1] > a[1] ? b : a), [0, 0]);
    return best[0];
  });
  return { home, left, outside: regionOf(finished, 0) };
}

/** The runs of two bitmaps that have pixels in common, and how many. */
function* commonRuns(
  a: RegionRuns,
  b: RegionRuns,
): Generator<readonly [ofA: number, ofB: number, pixels: number]> {
  for (let i = 0, j = 0; i < a.starts.length && j < b.starts.length;) {
    const pixels = Math.min(a.ends[i], b.ends[j]) - Math.max(a.starts[i], b.starts[j]);
    if (pixels > 0) yield [i, j, pixels];
    if (a.ends[i] < b.ends[j]) i++;
    else j++;
  }
}
