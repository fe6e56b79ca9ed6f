import { imageOf, type SymmetryPattern } from '../../geometry/fold-pattern.js';
import { pixelCentre, valueIn, type FoldRaster } from '../../geometry/unfold-bitmap.js';
import { squaredDistance } from '../../raster/distance.js';
import { labelRegions } from '../../raster/labels.js';
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
  /** Whether one part was taken for all, since the parts are too unlike for a mean of them. */
  readonly isOnePart: boolean;
}

/** Lines that lie off by a hand's tremble are no difference: one counts from this width on, in mm. By eye. */
const TREMBLE_MM = 1.5;
/** No more than so many are told: the rest is less than these. */
const MOST_TOLD = 5;
/**
 * Of what is dark in all parts, at most so much may be dark in the fewer or light in the fewer of them: from there on a
 * mean of them is lumps that nobody drew (a wreath whose leaves all lean one way). As a share; by eye.
 */
const MOST_UNLIKE = 0.2;

/**
 * Folds a drawing of the opened sheet back into the packet. Where its parts are alike, a place is dark where at least
 * half of what comes to lie over it is; where they are not, as it is in the part that differs least from all others
 * (their medoid: Kaufman & Rousseeuw 1987).
 *
 * @param drawing of the opened sheet, at `pixelsPerMm`
 */
export function foldedDrawing(
  drawing: Bitmap,
  pattern: Pick<SymmetryPattern, 'layers' | 'copies'>,
  { width, height, copy }: FoldRaster,
  pixelsPerMm: number,
): FoldedDrawing {
  const { layers } = pattern;
  const darkIn = new Uint8Array(width * height);
  const uneven = new Uint8Array(width * height);
  const parts = pattern.copies.map(() => new Uint8Array(width * height));
  let [dark, unlike] = [0, 0];
  for (let i = 0; i < copy.length; i++) {
    if (copy[i] !== 0) continue;
    const place = pixelCentre(i, width, pixelsPerMm);
    pattern.copies.forEach((each, k) => {
      parts[k][i] = valueIn(drawing, each, place, pixelsPerMm);
      darkIn[i] += parts[k][i];
    });
    uneven[i] = darkIn[i] > 0 && darkIn[i] < layers ? 1 : 0;
    dark += darkIn[i];
    unlike += Math.min(darkIn[i], layers - darkIn[i]);
  }
  const isOnePart = unlike > MOST_UNLIKE * dark;
  const data = isOnePart
    ? medoidOf(parts, darkIn)
    : darkIn.map((count, i) => (copy[i] === 0 && 2 * count >= layers ? 1 : 0));
  const partAt = (i: number, areaPx: number): UnlikePart => {
    const place = pixelCentre(i, width, pixelsPerMm);
    const odd = parts.findIndex((part) => part[i] !== data[i]);
    const { x, y } = imageOf(pattern.copies[odd], place);
    const areaMm2 = areaPx / pixelsPerMm ** 2;
    return { at: [x, y], areaMm2, darkIn: darkIn[i], parts: layers };
  };
  const told = isOnePart
    ? []
    : widePlaces({ width, height, data: uneven }, TREMBLE_MM * pixelsPerMm);
  const largest = told.toSorted((a, b) => b.areaPx - a.areaPx).slice(0, MOST_TOLD);
  return {
    bitmap: { width, height, data },
    unlike: largest.map(({ middle, areaPx }) => partAt(middle, areaPx)),
    isOnePart,
  };
}

/** The part that differs least from all others together; the first of those that differ as little. */
function medoidOf(parts: readonly Uint8Array[], darkIn: Uint8Array): Uint8Array {
  const unlikeness = parts.map((part) =>
    part.reduce((sum, own, i) => sum + (own === 1 ? parts.length - darkIn[i] : darkIn[i]), 0),
  );
  return parts[unlikeness.indexOf(Math.min(...unlikeness))];
}

/** The regions that are somewhere as wide as that, by the pixel in the middle of their widest place. */
function widePlaces(bitmap: Bitmap, widthPx: number): { middle: number; areaPx: number }[] {
  const away = squaredDistance(bitmap, 0);
  const { count, areas, labels } = labelRegions(bitmap, 1, 8);
  const middle = new Int32Array(count + 1).fill(-1);
  labels.forEach((label, i) => {
    if (label > 0 && (middle[label] < 0 || away[i] > away[middle[label]])) middle[label] = i;
  });
  return Array.from(middle, (at, label) => ({ middle: at, areaPx: areas[label] })).filter(
    ({ middle: at }) => at >= 0 && 4 * away[at] >= widthPx * widthPx,
  );
}
