import { gaussianBlur } from './blur.js';
import { fieldOf, type Field } from './field.js';
import type { Box, Gray } from './raster.js';

/** How much each place of a picture matters to who looks at it, on a grid of square cells over its box. */
export interface Saliency {
  readonly pictureBox: Box;
  readonly width: number;
  readonly height: number;
  /** One value a cell, from LEAST on flat ground to MOST on features. */
  readonly data: Float32Array;
  /** The side of a cell, in px. */
  readonly cell: number;
}

/** How much the pixel at (x, y) matters; beyond the box as much as at its edge. */
export function saliencyAt(
  { pictureBox, width, height, data, cell }: Saliency,
  x: number,
  y: number,
): number {
  const column = Math.min(width - 1, Math.max(0, Math.floor((x - pictureBox.x) / cell)));
  const row = Math.min(height - 1, Math.max(0, Math.floor((y - pictureBox.y) / cell)));
  return data[row * width + column];
}

/** Scales on the card (σ), in mm: an edge as it is seen at arm's length, a feature, and what it stands on. A judgement, not measured. */
const EDGE_MM = 0.6;
const FEATURE_MM = 1.2;
const GROUND_MM = 4.5;
/** By so much (σ), in mm, what stands out is spread, so that a feature's middle matters as its rim does. */
const SPREAD_MM = 0.8;
/** What stands out is divided by the root of its mean over so much round it (σ), in mm: some features side by side, as of a face. */
const ROUND_ABOUT_MM = 7;
/** The side of a cell, in mm: finer than the finest scale, and a twenty-fifth of the pixels to work on. */
const CELL_MM = 0.5;
/** Added to that mean, in greys of 256: where nothing much stands out round about, grain is not raised to a feature. */
const FAINT = 6;
/** Brings contrasts of common pictures into the 256 bins of `levelAt`; their unit is lost again, since only shares count. */
const SCALE = 8;

/** What flat ground and the strongest features are worth: forty to one, so that a bridge goes a long way round an eye. A judgement, not measured. */
const LEAST = 0.1;
const MOST = 4;
/** The share of the places that stand out less than one that counts in full. */
const FULL_AT = 0.98;
/** What stands out twice as much counts more than five times as much (an exponent). A judgement, not measured. */
const GROWTH = 2.5;

/**
 * How much each place matters: edges by the slope of the lightness, features (an eye, a nostril, a spot on a wing) by
 * how far a place a millimetre across stands out from what lies round it. That is the centre and surround of Itti,
 * Koch & Niebur, "A model of saliency-based visual attention for rapid scene analysis", IEEE PAMI 20 (1998), at the
 * one pair of scales that a stencil on a card can show.
 *
 * @param pictureBox the pixels that the picture covers
 */
export function saliencyOf(gray: Gray, pictureBox: Box, pixelsPerMm: number): Saliency {
  const cell = Math.max(1, Math.round(CELL_MM * pixelsPerMm));
  const cellsPerMm = pixelsPerMm / cell;
  const field = fieldOf(gray, pictureBox, cell);
  const fine = gaussianBlur(field, EDGE_MM * cellsPerMm);
  const feature = gaussianBlur(field, FEATURE_MM * cellsPerMm);
  const ground = gaussianBlur(field, GROUND_MM * cellsPerMm);
  // A feature matters as a whole, its middle as much as its rim.
  const standing = gaussianBlur(standingOut(fine, feature, ground), SPREAD_MM * cellsPerMm);
  // What stands out counts by what stands out round about it, as the eye has it: a face's features in soft light as
  // much as the outline of a dark coat.
  const around = gaussianBlur(standing, ROUND_ABOUT_MM * cellsPerMm);
  const contrasts = standing.data.map(
    (value, i) => (SCALE * value) / Math.sqrt(around.data[i] + FAINT),
  );
  const full = levelAt(contrasts, FULL_AT) || 1;
  const data = contrasts.map(
    (value) => LEAST + (MOST - LEAST) * Math.pow(Math.min(1, value / full), GROWTH),
  );
  return { pictureBox, width: field.width, height: field.height, data, cell };
}

/** The slope of the lightness along an edge's scale, and the difference of centre and surround. */
function standingOut({ width, height, data }: Field, feature: Field, ground: Field): Field {
  const out = new Float32Array(width * height);
  for (let y = 0; y < height; y++) {
    const above = Math.max(0, y - 1) * width;
    const below = Math.min(height - 1, y + 1) * width;
    for (let x = 0; x < width; x++) {
      const i = y * width + x;
      const across = data[x < width - 1 ? i + 1 : i] - data[x > 0 ? i - 1 : i];
      const slope = Math.hypot(across, data[below + x] - data[above + x]);
      out[i] = slope + Math.abs(feature.data[i] - ground.data[i]);
    }
  }
  return { width, height, data: out };
}

/** One for each whole level of a byte; what stands out more is in the last. */
const BINS = 256;

/** The value that a share of all stay below. */
function levelAt(values: Float32Array, share: number): number {
  const counts = new Int32Array(BINS);
  for (const value of values) counts[Math.min(BINS - 1, Math.max(0, Math.floor(value)))]++;
  let below = 0;
  for (let bin = 0; bin < BINS; bin++) {
    below += counts[bin];
    if (below > share * values.length) return bin + 1;
  }
  return BINS;
}
