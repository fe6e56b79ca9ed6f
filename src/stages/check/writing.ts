import { fieldOf } from '../../raster/field.js';
import { findWriting } from '../../raster/writing.js';
import type { Job } from '../../settings/job.js';
import type { Picture } from '../read/read.js';
import type { Finding } from './finding.js';

/** Px a mm that writing is looked for at: letters of 1 mm have a form still. */
const GRID_PER_MM = 5;
/**
 * Of what is dark at least so much is writing where a picture is one of writing. By eye: pages of type have 0.22 to 1, grass,
 * gravel, and seventy other pictures 0.13 at most.
 */
const LEAST_SHARE = 0.2;
/** Fewer letters may be anything. */
const FEWEST = 10;
/** An e has so many strokes over one another, and so many gaps between them. */
const [STROKES, GAPS] = [3, 2];

/** Tells of a picture of writing whose letters nobody can read once they are cut. */
export function smallWriting(
  { gray, pictureBox, pixelsPerMm }: Pick<Picture, 'gray' | 'pictureBox' | 'pixelsPerMm'>,
  { narrowestOpening, narrowestStrip }: Pick<Job, 'narrowestOpening' | 'narrowestStrip'>,
): Finding[] {
  const factor = Math.max(1, Math.round(pixelsPerMm / GRID_PER_MM));
  const perMm = pixelsPerMm / factor;
  const leastMm = STROKES * narrowestOpening + GAPS * narrowestStrip;
  const found = findWriting(fieldOf(gray, pictureBox, factor), leastMm * perMm);
  if (!found || found.letters < FEWEST || found.share < LEAST_SHARE) return [];
  const mm = Math.max(0.5, Math.round((2 * found.heightPx) / perMm) / 2);
  return [
    {
      level: 'warning',
      code: 'writing-small',
      message: `The picture is one of writing, and its letters, about ${mm} mm high, are too small to be read once they are cut: an e has three strokes and two strips between them, and takes ${leastMm.toFixed(1)} mm. Crop to a few words, take a larger card, or type the words instead.`,
    },
  ];
}
