import { sheetOf, type Job } from '../../src/settings/job.js';

/** Px a mm of sketches: what keeps them within a ninth of a megapixel, and still shows a narrow strip. */
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
