import { dilated, eroded } from '../../raster/morphology.js';
import { labelRegions } from '../../raster/labels.js';
import type { Bitmap } from '../../raster/raster.js';
import type { Point } from '../../geometry/shape.js';
import type { Job } from '../../settings/job.js';
import type { UnderJob } from '../../settings/lettering-settings.js';

/**
 * What is painted under letters: all that lies within so many mm of them, or that they pass over on their way to the
 * lower right. Film narrower than a strip is left out of it.
 */
export function underneath(
  letters: Bitmap,
  { under, underBy, narrowestStrip }: UnderJob & Pick<Job, 'narrowestStrip'>,
  pixelsPerMm: number,
): Bitmap {
  const by = Math.round(underBy * pixelsPerMm);
  const wide = under === 'outline' ? dilated(letters, by) : cast(letters, by);
  const half = (narrowestStrip / 2) * pixelsPerMm;
  return eroded(dilated(wide, half), half);
}

/** Openings moved to the lower right by so many pixels, and all that they pass over. */
function cast({ width, height, data }: Bitmap, by: number): Bitmap {
  const made = data.slice();
  // Along each diagonal: how many steps are left of the last opening that was met.
  for (let diagonal = 1 - height; diagonal < width; diagonal++) {
    let left = -1;
    for (let x = Math.max(0, diagonal), y = x - diagonal; x < width && y < height; x++, y++) {
      const i = y * width + x;
      if (data[i] === 1) left = by;
      else left--;
      if (left >= 0) made[i] = 1;
    }
  }
  return { width, height, data: made };
}

/** A bridge's ends, on the film at either side of an opening, in mm. */
interface Ends {
  readonly from: Point;
  readonly to: Point;
}

/** What lies under letters, and where it is bridged. */
export interface BridgedUnderlay<B extends Ends> {
  readonly below: Bitmap;
  readonly bridges: readonly B[];
}

/** So much further than letters have grown, in mm, film is looked for beyond a bridge's end. */
const BEYOND_MM = 1;

/**
 * What is under letters, with those of their bridges that hold an inside of it, too, drawn out to where its film begins:
 * where both sheets have them at the same places, all of the upper paint lies on the lower. An inside that none of them
 * holds is painted, for the same reason.
 */
export function heldAsAbove<B extends Ends>(
  below: Bitmap,
  bridges: readonly B[],
  underBy: number,
  pixelsPerMm: number,
): BridgedUnderlay<B> {
  const { labels, count } = labelRegions(below, 0, 4);
  const reach = Math.SQRT2 * underBy + BEYOND_MM;
  const long = bridges.map((bridge) => {
    const [first, last] = [bridge.to, bridge.from].map((from, i) =>
      filmBeyond(i === 0 ? bridge.from : bridge.to, from, { ...below, labels }, reach, pixelsPerMm),
    );
    return first && last && first.label !== last.label ? { bridge, first, last } : undefined;
  });
  const found = long.filter((one) => one !== undefined);
  const isHeld = new Uint8Array(count + 1);
  // The film along the edge of the sheet.
  isHeld[labels[0]] = 1;
  for (let before = -1, now = 0; before !== now;) {
    before = now;
    for (const { first, last } of found) {
      if (isHeld[first.label] === isHeld[last.label]) continue;
      isHeld[first.label] = isHeld[last.label] = 1;
      now++;
    }
  }
  return {
    below: {
      ...below,
      data: below.data.map((value, i) => (value === 1 || isHeld[labels[i]] === 1 ? value : 1)),
    },
    bridges: found
      .filter(({ first }) => isHeld[first.label] === 1)
      .map(({ bridge, first, last }) => ({ ...bridge, from: first.at, to: last.at })),
  };
}

/** The first film from a bridge's end on, away from its other one. */
function filmBeyond(
  at: Point,
  from: Point,
  { width, height, labels }: Pick<Bitmap, 'width' | 'height'> & { readonly labels: Int32Array },
  reach: number,
  pixelsPerMm: number,
): { readonly at: Point; readonly label: number } | undefined {
  const length = Math.hypot(at.x - from.x, at.y - from.y) || 1;
  const [dx, dy] = [(at.x - from.x) / length, (at.y - from.y) / length];
  for (let on = 0; on <= reach; on += 1 / pixelsPerMm) {
    const place = { x: at.x + on * dx, y: at.y + on * dy };
    const [column, row] = [Math.floor(place.x * pixelsPerMm), Math.floor(place.y * pixelsPerMm)];
    if (column < 0 || row < 0 || column >= width || row >= height) return undefined;
    const label = labels[row * width + column];
    if (label > 0) return { at: place, label };
  }
  return undefined;
}
