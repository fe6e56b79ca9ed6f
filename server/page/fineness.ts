import { sheetOf, type Job } from '../../src/settings/job.js';

/**
 * Px a mm of sketches, and px of the sheet: few enough for 150 ms from a move of the level (`npm run bench page`), and
 * still the coarsest shows a strip of 0.8 mm as two pixels.
 */
const FINEST_SKETCH = 5;
const COARSEST_SKETCH = 2.5;
const SKETCH_PIXELS = 112_500;

/** Px a mm at most of the contact sheet's small stencils. */
export const CONTACT_FINENESS = 4;

/** Px a mm that the page asks for while a control moves: coarser than the stencil itself, so that it comes at once. */
export function sketchFineness(
  job: Pick<Job, 'card' | 'turn' | 'fineness'>,
  most = FINEST_SKETCH,
): number {
  const { widthMm, heightMm } = sheetOf(job);
  const wanted = Math.sqrt(SKETCH_PIXELS / (widthMm * heightMm));
  return Math.min(job.fineness, most, Math.max(COARSEST_SKETCH, Math.round(wanted * 10) / 10));
}
