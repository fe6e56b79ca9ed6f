import type { Sheet } from '../../settings/card.js';
import { coverage } from '../../geometry/coverage.js';
import type { Shape } from '../../geometry/shape.js';
import type { Job } from '../../settings/job.js';
import type { Gray } from '../../raster/raster.js';
import { indexedPng } from './png.js';
import { coloursOf, densities, previewScale } from './preview.js';
import { nearFilm } from './rim.js';

/** Between the two prints, in mm. */
const GAP_MM = 6;

/**
 * The two prints of a folded sheet side by side: through the opened sheet, and round what fell out of it, laid down as
 * masks.
 *
 * @returns a PNG whose scale is that of a sheet twice as wide
 */
export async function foldedPreviewPng(
  openings: readonly Shape[],
  sheet: Sheet,
  job: Pick<Job, 'paint' | 'ground'>,
): Promise<Uint8Array> {
  const pixelsPerMm = previewScale({
    widthMm: 2 * sheet.widthMm + GAP_MM,
    heightMm: sheet.heightMm,
  });
  const width = Math.round(sheet.widthMm * pixelsPerMm);
  const height = Math.round(sheet.heightMm * pixelsPerMm);
  const gap = Math.round(GAP_MM * pixelsPerMm);
  const through = coverage(openings, width, height, pixelsPerMm);
  const round: Gray = { width, height, data: through.data.map((value) => 255 - value) };
  const prints = [through, round].map((covered) =>
    densities(covered, nearFilm(covered), pixelsPerMm),
  );
  const across = 2 * width + gap;
  const data = new Uint8Array(across * height);
  for (let y = 0; y < height; y++) {
    prints.forEach((print, i) =>
      data.set(print.data.subarray(y * width, (y + 1) * width), y * across + i * (width + gap)),
    );
  }
  return indexedPng({ width: across, height, data }, coloursOf(job.ground, job.paint), pixelsPerMm);
}
