import { gaussianBlur } from '../../raster/blur.js';
import { HAIRLINE_WIDTH, sharpened, softThreshold } from '../../raster/difference-of-gaussians.js';
import { edgeLevel } from '../../raster/edge-level.js';
import type { Field } from '../../raster/field.js';
import { blurAlong, edgeTangentFlow } from '../../raster/edge-tangent-flow.js';
import { histogramOf, otsu, quantile } from '../../raster/histogram.js';
import { wideBlur } from '../../raster/wide-blur.js';
import { MIDDLE, stretched } from './stretch.js';
import { viewOf, type Decision, type TonePicture, type ToneJob } from './view.js';

// Where no paper is named, the figure was set by eye on the open photographs and portraits at 4 × 4 in.

/** How much lines are raised over the masses. */
const STRENGTH = 9;
/** Differences of one level in 255 are grain of film, cloth or skin. */
const GRAIN = 1;
/** Levels over which the soft threshold passes from dark to light. */
const SOFTNESS = 30;
/** Smoothing along a line (σ) and of its direction, against the narrowest opening. */
const ALONG = 0.95;
const DIRECTION = 0.65;
/** The last smoothing, of the contours, against the narrowest opening. */
const CONTOUR = 0.2;

/** How much of the level comes from the surroundings: a face in shade and a lit one both keep their features. */
const SURROUNDINGS = 0.6;
/** The surroundings' σ, against the shorter side of the picture. */
const SURROUNDINGS_SIZE = 1 / 8;
/**
 * The share that may be dark by its own lightness, lines aside: less shows no masses, and where nearly half
 * is dark already, more would swallow shapes.
 */
const DARK = { least: 0.1, most: 0.45 };
/** How far from Otsu's level (σ, in levels) one that follows the edges better is looked for. */
const LEEWAY = 60;

/**
 * Lines and dark masses: a sharpened, soft thresholded picture (H. Winnemöller, J. E. Kyprianidis &
 * S. C. Olsen, XDoG: an extended difference-of-Gaussians compendium, 2012), smoothed along the lines.
 *
 * Its scale is the one at which a hairline comes out as wide as the narrowest thing that can be cut, so that
 * little is left to widen or to drop.
 */
export function edgesTone(picture: TonePicture, job: ToneJob): Decision {
  const opening = job.narrowestOpening;
  const sigma = lineScale(job);
  const sketch = viewOf(picture, sigma, 2);
  const scale = sketch.pixelsPerMm;
  const full = stretched(sketch.field);
  const raised = sharpened(full, sigma * scale, STRENGTH, GRAIN);
  const flow = edgeTangentFlow(full, DIRECTION * opening * scale, 2);
  const lines = blurAlong(raised, flow, ALONG * opening * scale);
  const soft = softThreshold(lines, levelsFor(full), SOFTNESS);
  const calm = gaussianBlur(soft, CONTOUR * opening * scale);
  return { lightness: calm, factor: sketch.factor };
}

/** The default smoothing against the narrowest thing, as in `job.ts`. */
const DEFAULT_SMOOTHING = 0.2;
/** How wide a hairline comes out against the narrowest thing: a little over, so that nothing need be widened. */
const HAIRLINE = 1.15;

/** The σ of the difference, in mm. More smoothing than the default calms more, less keeps more. */
function lineScale(job: ToneJob): number {
  const narrowest = Math.max(job.narrowestOpening, job.narrowestStrip);
  const own = Math.sqrt((HAIRLINE / HAIRLINE_WIDTH) ** 2 - DEFAULT_SMOOTHING ** 2);
  return Math.hypot(own * narrowest, job.smoothing);
}

/**
 * The level at each pixel: it goes part of the way with the surroundings, and is one for all once that is
 * taken off. That one lies near Otsu's and where its outline runs along the picture's edges.
 */
function levelsFor(field: Field): Field {
  const { width, height } = field;
  const levels = surroundings(field);
  for (let i = 0; i < levels.data.length; i++) {
    levels.data[i] = SURROUNDINGS * (levels.data[i] - MIDDLE);
  }
  const relative = { width, height, data: field.data.map((value, i) => value - levels.data[i]) };
  const histogram = histogramOf(relative);
  const near = Math.min(otsu(histogram).level, quantile(histogram, DARK.most));
  const own = edgeLevel(relative, DARK, near, LEEWAY);
  for (let i = 0; i < levels.data.length; i++) levels.data[i] += own;
  return levels;
}

function surroundings(field: Field): Field {
  return wideBlur(field, SURROUNDINGS_SIZE * Math.min(field.width, field.height));
}
