import { squaredDistance } from '../../raster/distance.js';
import { findRegions } from '../../raster/labels.js';
import type { Match } from '../../raster/likeness.js';
import type { Bitmap } from '../../raster/raster.js';
import type { PictureContours } from './ground.js';
import type { Decision } from './view.js';
import type { Job } from '../../settings/job.js';

type LineLimits = Pick<Job, 'narrowestOpening' | 'narrowestStrip' | 'smallestIsland'>;

/** A lost contour is drawn from this length on, in mm, and when it stands out by this weight on average. */
const LEAST_MM = 4;
const LEAST_WEIGHT = 0.4;

/** What a line closes round is filled up to so many smallest islands: it would hang on bridges nearly as long as itself. */
const FILLED = 3;
/** How wide a line is drawn against the narrowest opening: what is left of it is as wide as it has to be. */
const WIDTH = 1.1;

/**
 * Draws contours that a print has lost as dark lines, where there is room for them in its film: where a light shape lies
 * on light, only a line can part the two.
 *
 * @param decision on the grid of the contours
 * @param print what is left of it once the widths are kept, on that grid
 * @returns undefined when there is nothing to draw
 */
export function withLostContours(
  { lightness, factor }: Decision,
  { found }: Match,
  print: Bitmap,
  { width, height, weight, pixelsPerMm }: PictureContours,
  { narrowestOpening, narrowestStrip, smallestIsland }: LineLimits,
): Decision | undefined {
  const half = (WIDTH * narrowestOpening * pixelsPerMm) / 2;
  const room = half + narrowestStrip * pixelsPerMm;
  const away = squaredDistance(print, 1, room);
  const lost = new Uint8Array(width * height);
  for (let i = 0; i < lost.length; i++) {
    lost[i] = weight[i] > 0 && found[i] === 0 && away[i] >= room * room ? 1 : 0;
  }
  const lines = standingOut({ width, height, data: lost }, weight, LEAST_MM * pixelsPerMm);
  if (!lines) return undefined;
  const near = squaredDistance(lines, 1, half + 1);
  const inside = enclosed(lines, near, half, FILLED * smallestIsland * pixelsPerMm ** 2);
  const data = lightness.data.map((value, i) => {
    if (inside[i] === 1) return -1;
    return near[i] > (half + 1) ** 2 ? value : Math.min(value, Math.sqrt(near[i]) - half);
  });
  return { lightness: { width, height, data }, factor };
}

/** 1 on what the lines, drawn at their width, close round, where that is small; off the raster's rim. */
function enclosed(
  { width, height }: Bitmap,
  near: Float32Array,
  half: number,
  smallerThan: number,
): Uint8Array {
  const drawn = new Uint8Array(near.length);
  for (let i = 0; i < drawn.length; i++) drawn[i] = near[i] <= half * half ? 1 : 0;
  const { starts, ends, numbers, areas, bounds } = findRegions(
    { width, height, data: drawn },
    0,
    4,
  );
  const inside = new Uint8Array(width * height);
  for (let run = 0; run < starts.length; run++) {
    const number = numbers[run];
    const [left, top, right, bottom] = bounds.subarray(4 * number, 4 * number + 4);
    const isWithin = left > 0 && top > 0 && right < width - 1 && bottom < height - 1;
    if (isWithin && areas[number] < smallerThan) inside.fill(1, starts[run], ends[run]);
  }
  return inside;
}

/** The runs of pixels that are long and stand out; undefined when there are none. */
function standingOut(lost: Bitmap, weight: Float32Array, least: number): Bitmap | undefined {
  const { starts, ends, numbers, areas } = findRegions(lost, 1, 8);
  const sums = new Float64Array(areas.length);
  for (let run = 0; run < starts.length; run++) {
    for (let i = starts[run]; i < ends[run]; i++) sums[numbers[run]] += weight[i];
  }
  const data = new Uint8Array(lost.data.length);
  let count = 0;
  for (let run = 0; run < starts.length; run++) {
    const number = numbers[run];
    if (areas[number] < least || sums[number] < LEAST_WEIGHT * areas[number]) continue;
    data.fill(1, starts[run], ends[run]);
    count++;
  }
  return count > 0 ? { ...lost, data } : undefined;
}
