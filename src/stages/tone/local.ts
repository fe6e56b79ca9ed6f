import { gaussianBlur } from '../../raster/blur.js';
import { contrastOf, paperAt } from '../../raster/tone-statistics.js';
import { blurAlong, edgeTangentFlow } from '../../raster/edge-tangent-flow.js';
import { sauvolaLevels } from '../../raster/local-mean.js';
import { flattened } from '../../raster/paper.js';
import { viewOf, type Decision, type TonePicture, type ToneJob } from './view.js';

/** Smoothing across a stroke, against the job's: strokes of a pen are fine, and what runs along them is
 * smoothed besides. */
const ACROSS = 0.8;
/** Smoothing along a stroke (σ) and of its direction, against the narrowest opening. */
const ALONG = 0.45;
const DIRECTION = 0.35;
/** The grid for directions: they change slowly. */
const FLOW_PIXELS_PER_MM = 2.5;

/** Wider than any filled shape that should stay solid, narrower than the drift of a lamp. */
const WINDOW_MM = 15;

/**
 * Sauvola's k: how far under the paper the level lies where nothing is drawn. A fifth of the marks' own
 * contrast is over the grain, and still catches a line whose dip smoothing has cut to a fifth. On four
 * photographed pages half of it or nearly twice as much gave nearly the same; the paper's own k of 0.34 broke
 * the lines.
 */
const K_OF_CONTRAST = 0.2;
const SMALLEST_K = 0.04;
const LARGEST_K = 0.1;

/** What is less than half as light as the paper is ink, also in the middle of a large filled shape. */
const SURELY_INK = 0.5;

/** Each part against the paper round it: for pages in uneven light. */
export function localTone(picture: TonePicture, job: ToneJob): Decision {
  const across = ACROSS * job.smoothing;
  const page = viewOf(picture, across, 1);
  const scale = page.pixelsPerMm;
  // Calmed first: grain would lift the lightest value of every block, and the paper's estimate with it.
  const calm = gaussianBlur(page.field, across * scale);
  const flat = flattened(calm, paperAt(calm, scale));
  const coarseness = Math.max(1, Math.round(scale / FLOW_PIXELS_PER_MM));
  const flow = edgeTangentFlow(flat, DIRECTION * job.narrowestOpening * scale, coarseness);
  const lines = blurAlong(flat, flow, ALONG * job.narrowestOpening * scale);
  const k = Math.min(LARGEST_K, Math.max(SMALLEST_K, K_OF_CONTRAST * contrastOf(flat)));
  const levels = sauvolaLevels(flat, Math.round((WINDOW_MM / 2) * scale), k);
  for (let i = 0; i < lines.data.length; i++) {
    lines.data[i] -= Math.max(levels.data[i], SURELY_INK * 255);
  }
  return { lightness: lines, factor: page.factor };
}
