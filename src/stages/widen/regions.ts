import type { RegionEdit } from '../../settings/edits.js';
import { labelRegions } from '../../raster/labels.js';
import type { Bitmap, Box } from '../../raster/raster.js';
import { stampDisc } from '../../raster/stamp.js';

/** An edit of a region that came to nothing. */
export interface UnusedRegionEdit {
  /** Its place in the list of edits, from 0. */
  readonly index: number;
  /** In mm. */
  readonly at: readonly [number, number];
  /** `frame`: it would drop the film that is the stencil itself. `lost`: its limits leave it no room. */
  readonly why: 'off-sheet' | 'frame' | 'lost';
}

/** What a region that is kept must have at least, in px. */
export interface LeastRegion {
  readonly area: number;
  readonly radius: number;
}

/** Room for what easing and rounding take from a region that is just large enough. */
const SPARE = 1.1;

/**
 * Makes the regions that a person wants to keep large enough for the rules to keep them: a disk is set on each that
 * is too small, in the middle of it.
 *
 * @param least by value, film and opening
 * @param inside what lies outside this box (the margin) stays film
 */
export function withKept(
  bitmap: Bitmap,
  pixelsPerMm: number,
  edits: readonly RegionEdit[],
  least: readonly [film: LeastRegion, opening: LeastRegion],
  inside: Box,
): Bitmap {
  const kept = edits.filter((edit) => edit.do === 'keep');
  if (kept.length === 0) return bitmap;
  const data = bitmap.data.slice();
  for (const { at } of kept) {
    const i = pixelAt(bitmap, pixelsPerMm, at);
    if (i === undefined) continue;
    const value = bitmap.data[i] as 0 | 1;
    const { labels, areas } = labelRegions(bitmap, value, value === 1 ? 8 : 4);
    const { area, radius } = least[value];
    if (areas[labels[i]] >= SPARE * area) continue;
    const { x, y } = centroidOf(labels, labels[i], bitmap.width);
    const reach = Math.max(radius, SPARE * Math.sqrt(area / Math.PI));
    const within = (place: number, first: number, size: number): number =>
      Math.min(Math.max(place, first + Math.ceil(reach)), first + size - 1 - Math.ceil(reach));
    const [cx, cy] = [within(x, inside.x, inside.width), within(y, inside.y, inside.height)];
    stampDisc(data, bitmap.width, bitmap.height, cx, cy, reach, value);
  }
  return { ...bitmap, data };
}

/**
 * Gives the regions that a person drops to what surrounds them, and tells the edits that came to nothing.
 *
 * @param tone the picture before any rule: a region that the rules have dropped is as wanted
 */
export function applyDrops(
  bitmap: Bitmap,
  tone: Bitmap,
  pixelsPerMm: number,
  edits: readonly RegionEdit[],
): { readonly bitmap: Bitmap; readonly unused: readonly UnusedRegionEdit[] } {
  if (edits.length === 0) return { bitmap, unused: [] };
  let edited = bitmap;
  const unused: UnusedRegionEdit[] = [];
  edits.forEach((edit, index) => {
    const i = pixelAt(bitmap, pixelsPerMm, edit.at);
    if (i === undefined) {
      unused.push({ index, at: edit.at, why: 'off-sheet' });
      return;
    }
    const isAsDrawn = bitmap.data[i] === tone.data[i];
    if (edit.do === 'keep') {
      if (!isAsDrawn) unused.push({ index, at: edit.at, why: 'lost' });
      return;
    }
    if (!isAsDrawn && bitmap.data[i] === 0) return;
    const dropped = withoutRegion(edited, i);
    if (dropped) edited = dropped;
    else unused.push({ index, at: edit.at, why: 'frame' });
  });
  return { bitmap: edited, unused };
}

function pixelAt(
  { width, height }: Bitmap,
  pixelsPerMm: number,
  [x, y]: readonly [number, number],
): number | undefined {
  const column = Math.floor(x * pixelsPerMm);
  const row = Math.floor(y * pixelsPerMm);
  if (column < 0 || row < 0 || column >= width || row >= height) return undefined;
  return row * width + column;
}

function centroidOf(labels: Int32Array, label: number, width: number): { x: number; y: number } {
  let [x, y, count] = [0, 0, 0];
  labels.forEach((each, i) => {
    if (each !== label) return;
    x += i % width;
    y += Math.floor(i / width);
    count++;
  });
  return { x: Math.round(x / count), y: Math.round(y / count) };
}

/** The bitmap without the region that holds pixel i; undefined when that is the film that comes to the edge. */
function withoutRegion(bitmap: Bitmap, i: number): Bitmap | undefined {
  const value = bitmap.data[i] as 0 | 1;
  const { labels } = labelRegions(bitmap, value, value === 1 ? 8 : 4);
  if (value === 0 && labels[i] === labels[0]) return undefined;
  const region = labels[i];
  const data = bitmap.data.map((each, k) => (labels[k] === region ? 1 - value : each));
  return { ...bitmap, data };
}
