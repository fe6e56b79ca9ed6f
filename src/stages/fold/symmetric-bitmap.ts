import { intersection } from '../../raster/morphology.js';
import type { SymmetryPattern } from '../../geometry/fold-pattern.js';
import {
  foldRaster,
  pixelCentre,
  unfoldedBitmap,
  valueIn,
  type FoldRaster,
} from '../../geometry/unfold-bitmap.js';
import type { Bitmap, Box } from '../../raster/raster.js';
import type { RegionEdit } from '../../settings/edits.js';
import type { Widened } from '../widen/widen.js';
import type { LaidInPacket } from './fold.js';
import { regionOrbits, unusedOf } from './edits.js';

/**
 * The widths kept on the opened sheet, the same in every copy of the packet; what a person edits at one place holds at
 * all its images.
 *
 * @param keep keeps the widths, with edits of regions
 */
export function widenedOnFold(
  { pattern, room }: Pick<LaidInPacket, 'pattern' | 'room'>,
  pixelsPerMm: number,
  regionEdits: readonly RegionEdit[],
  keep: (regionEdits: readonly RegionEdit[]) => Widened,
): Widened {
  const { edits, of } = regionOrbits(regionEdits, pattern);
  const widened = keep(edits);
  const { width, height } = widened.bitmap;
  const raster = foldRaster(pattern, width, height, pixelsPerMm);
  return {
    ...widened,
    bitmap: unfoldedBitmap(room ? intersection(widened.bitmap, room) : widened.bitmap, raster),
    unusedEdits: unusedOf(widened.unusedEdits, of),
  };
}

/** A pixel of the drawing that is lost counts as so many that are added. By eye, on a heart of two lines. */
const LOST_COSTS = 4;

/**
 * The widths kept on a symmetric drawing, the same in every copy: those of the copy in which they change least of what was
 * wanted.
 *
 * @param wanted the drawing itself, the same in every copy
 * @param box of a mask what is drawn on, in px: beyond it all stays as it is, as do places that come from there
 */
export function evenWidths(
  pattern: SymmetryPattern,
  pixelsPerMm: number,
  wanted: Bitmap,
  bitmap: Bitmap,
  box: Box = { x: 0, y: 0, width: bitmap.width, height: bitmap.height },
): Bitmap {
  const { width, height, data } = bitmap;
  const raster = rasterIn(foldRaster(pattern, width, height, pixelsPerMm), box);
  const changed = new Float64Array(pattern.layers);
  const counted = new Float64Array(pattern.layers);
  for (let i = 0; i < data.length; i++) {
    const copy = raster.copy[i];
    if (copy < 0) continue;
    counted[copy]++;
    if (data[i] !== wanted.data[i]) changed[copy] += data[i] === 1 ? 1 : LOST_COSTS;
  }
  const shares = Array.from(changed, (count, copy) => count / Math.max(1, counted[copy]));
  const best = pattern.copies[shares.indexOf(Math.min(...shares))];
  const first = data.slice();
  for (let i = 0; i < data.length; i++) {
    if (raster.copy[i] !== 0) continue;
    first[i] = valueIn(bitmap, best, pixelCentre(i, width, pixelsPerMm), pixelsPerMm);
  }
  return unfoldedBitmap({ width, height, data: first }, raster);
}

/** The places of a box that come from places in it. */
function rasterIn(raster: FoldRaster, { x, y, width, height }: Box): FoldRaster {
  if (width === raster.width && height === raster.height) return raster;
  const isIn = (i: number): boolean => {
    const [column, row] = [i % raster.width, Math.floor(i / raster.width)];
    return column >= x && row >= y && column < x + width && row < y + height;
  };
  const source = raster.source.map((from, i) => (from >= 0 && isIn(from) && isIn(i) ? from : -1));
  return { ...raster, source, copy: raster.copy.map((copy, i) => (source[i] < 0 ? -1 : copy)) };
}
