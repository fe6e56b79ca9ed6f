import { imageOf, type FoldPattern } from '../../geometry/fold-pattern.js';
import type { FoldRaster } from '../../geometry/unfold-bitmap.js';
import { squaredDistance } from '../../raster/distance.js';
import { findRegions, labelRegions } from '../../raster/labels.js';
import type { Bitmap } from '../../raster/raster.js';

/** What stands in some of a drawing's parts only, and is in all of them or in none once the sheet is opened. */
export interface UnlikePart {
  /** Where one of the parts differs from most, in mm of the opened sheet. */
  readonly at: readonly [number, number];
  readonly areaMm2: number;
  /** In how many of the parts it is dark. */
  readonly darkIn: number;
  readonly parts: number;
}

export interface FoldedDrawing {
  readonly bitmap: Bitmap;
  /** The largest first. */
  readonly unlike: readonly UnlikePart[];
}

/**
 * Lines that lie off by a hand's tremble are no difference: one counts from this width on, in mm. _By eye._
 */
const TREMBLE_MM = 1.5;
/** No more than so many are told: the rest is less than these. */
const MOST_TOLD = 5;

/**
 * Folds a drawing of the opened sheet back into the packet: a place is dark where at least half of what comes to lie over
 * it is.
 *
 * @param drawing of the opened sheet, at `pixelsPerMm`
 */
export function foldedDrawing(
  drawing: Bitmap,
  pattern: FoldPattern,
  { width, height, copy }: FoldRaster,
  pixelsPerMm: number,
): FoldedDrawing {
  const data = new Uint8Array(width * height);
  const darkIn = new Uint8Array(width * height);
  const uneven = new Uint8Array(width * height);
  for (let i = 0; i < data.length; i++) {
    if (copy[i] !== 0) continue;
    const stack = stackAt(drawing, pattern, i, pixelsPerMm);
    darkIn[i] = stack.reduce((sum, value) => sum + value, 0);
    data[i] = 2 * darkIn[i] >= pattern.layers ? 1 : 0;
    uneven[i] = darkIn[i] > 0 && darkIn[i] < pattern.layers ? 1 : 0;
  }
  const partAt = (i: number, areaPx: number): UnlikePart => {
    const odd = stackAt(drawing, pattern, i, pixelsPerMm).indexOf(1 - data[i]);
    const { x, y } = imageOf(pattern.copies[odd], middleOf(i, width, pixelsPerMm));
    const areaMm2 = areaPx / pixelsPerMm ** 2;
    return { at: [x, y], areaMm2, darkIn: darkIn[i], parts: pattern.layers };
  };
  const unlike = widePlaces({ width, height, data: uneven }, TREMBLE_MM * pixelsPerMm)
    .toSorted((a, b) => b.areaPx - a.areaPx)
    .slice(0, MOST_TOLD)
    .map(({ middle, areaPx }) => partAt(middle, areaPx));
  return { bitmap: { width, height, data }, unlike };
}

/** What comes to lie over a pixel of the packet, 1 where it is dark, by copy. */
function stackAt(
  { width, height, data }: Bitmap,
  { copies }: FoldPattern,
  pixel: number,
  pixelsPerMm: number,
): number[] {
  const place = middleOf(pixel, width, pixelsPerMm);
  return copies.map((copy) => {
    const image = imageOf(copy, place);
    const [x, y] = [Math.floor(image.x * pixelsPerMm), Math.floor(image.y * pixelsPerMm)];
    return x >= 0 && y >= 0 && x < width && y < height ? data[y * width + x] : 0;
  });
}

function middleOf(pixel: number, width: number, pixelsPerMm: number): { x: number; y: number } {
  const [x, y] = [pixel % width, Math.floor(pixel / width)];
  return { x: (x + 0.5) / pixelsPerMm, y: (y + 0.5) / pixelsPerMm };
}

/** The regions that are somewhere as wide as that, by the pixel in the middle of their widest place. */
function widePlaces(bitmap: Bitmap, widthPx: number): { middle: number; areaPx: number }[] {
  const away = squaredDistance(bitmap, 0);
  const { count, areas } = findRegions(bitmap, 1, 8);
  const { labels } = labelRegions(bitmap, 1, 8);
  const middle = new Int32Array(count + 1).fill(-1);
  labels.forEach((label, i) => {
    if (label > 0 && (middle[label] < 0 || away[i] > away[middle[label]])) middle[label] = i;
  });
  return Array.from(middle, (at, label) => ({ middle: at, areaPx: areas[label] })).filter(
    ({ middle: at }) => at >= 0 && 4 * away[at] >= widthPx * widthPx,
  );
}
