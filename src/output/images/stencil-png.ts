import { MM_PER_INCH, type Sheet } from '../../settings/card.js';
import { coverage } from '../../geometry/coverage.js';
import type { Shape } from '../../geometry/shape.js';
import { indexedPng } from './png.js';

/** One byte each in memory: an 18 × 24 in sheet at 300 px an inch takes 39 million; larger ones come out coarser. */
const MOST_PIXELS = 60_000_000;

/**
 * The stencil as a picture at a resolution that it states: openings black, film white, greys where an edge goes through
 * a pixel.
 *
 * @param resolution px an inch; less where the sheet would pass 60 megapixels
 */
export async function stencilPng(
  openings: readonly Shape[],
  { widthMm, heightMm }: Sheet,
  resolution: number,
): Promise<Uint8Array> {
  const pixelsPerMm = Math.min(
    resolution / MM_PER_INCH,
    Math.sqrt(MOST_PIXELS / (widthMm * heightMm)),
  );
  const width = Math.round(widthMm * pixelsPerMm);
  const height = Math.round(heightMm * pixelsPerMm);
  const covered = coverage(openings, width, height, pixelsPerMm);
  const greys = Uint8Array.from({ length: 3 * 256 }, (_, i) => 255 - Math.floor(i / 3));
  return indexedPng(covered, greys, pixelsPerMm);
}
