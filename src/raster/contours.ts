import { gaussianBlur } from './blur.js';
import type { Field } from './field.js';
import { labelRegions } from './labels.js';
import { wideBlur } from './wide-blur.js';

/** Where a picture's contours run, and how much each place of them counts. */
export interface Contours {
  readonly width: number;
  readonly height: number;
  /** By pixel: 0 off the contours; on them from just over 0, as steep as its neighbourhood, to 1. */
  readonly weight: Float32Array;
}

/** The σ at which edges are looked for: finer ones can't be cut apart. In mm. */
const SCALE_MM = 0.7;
/** The neighbourhood that a contour is compared with: a face at card size. In mm (σ). */
const NEIGHBOURHOOD_MM = 7;
/** Slopes up to this, in levels a mm, are grain of film, cloth or skin. */
const GRAIN = 4;
/** Part of the picture's own mean slope that every neighbourhood has at least. */
const WHOLE = 0.25;
/** A contour goes on where its slope is this many times the neighbourhood's … */
const GOES_ON = 1;
/** … and is one only if it is somewhere this many times as steep … */
const STANDS_OUT = 1.5;
/** … and is at least this long, in mm: shorter ones are texture. */
const SHORTEST_MM = 2.5;
/** What stands out more than this counts no more: an eye counts as much as a coat. */
const STANDS_OUT_WHOLLY = 3;
const LEAST_WEIGHT = 0.05;

/**
 * The contours of a picture, each place weighted by its contrast against its own neighbourhood.
 *
 * Edges after J. Canny, A computational approach to edge detection, IEEE Transactions on Pattern Analysis and
 * Machine Intelligence 8(6), 1986: the slope of the blurred picture, its ridges, and two limits, the higher one
 * for some place of a contour and the lower one for all. Here the slope is first divided by the mean slope round
 * it, so that the limits mean the same in a face and in a coat.
 *
 * @param field lightness 0 to 255
 */
export function contoursOf(field: Field, pixelsPerMm: number): Contours {
  const { width, height } = field;
  const calm = gaussianBlur(field, SCALE_MM * pixelsPerMm);
  const slopes = slopesOf(calm, pixelsPerMm);
  const usual = neighbourhoodOf(slopes.slope, pixelsPerMm);
  const relative = slopes.slope.data.map((value, i) => value / usual[i]);
  const weight = linked(ridgesOf(slopes), relative, field, pixelsPerMm);
  return { width, height, weight };
}

interface Slopes {
  readonly across: Float32Array;
  readonly down: Float32Array;
  /** Levels a mm. */
  readonly slope: Field;
}

function slopesOf({ width, height, data }: Field, pixelsPerMm: number): Slopes {
  const across = new Float32Array(data.length);
  const down = new Float32Array(data.length);
  const slope = new Float32Array(data.length);
  for (let y = 0; y < height; y++) {
    const above = Math.max(y - 1, 0) * width;
    const below = Math.min(y + 1, height - 1) * width;
    for (let x = 0; x < width; x++) {
      const i = y * width + x;
      const dx = data[x < width - 1 ? i + 1 : i] - data[x > 0 ? i - 1 : i];
      const dy = data[below + x] - data[above + x];
      across[i] = dx;
      down[i] = dy;
      slope[i] = (Math.sqrt(dx * dx + dy * dy) * pixelsPerMm) / 2;
    }
  }
  return { across, down, slope: { width, height, data: slope } };
}

/** The mean slope round each pixel, never less than grain and a part of the whole picture's. */
function neighbourhoodOf(slope: Field, pixelsPerMm: number): Float32Array {
  const { data } = wideBlur(slope, NEIGHBOURHOOD_MM * pixelsPerMm);
  const mean = slope.data.reduce((sum, value) => sum + value, 0) / slope.data.length;
  const least = Math.max(GRAIN, WHOLE * mean);
  return data.map((value) => Math.max(value, least));
}

/**
 * Marks the pixels that are steeper than both neighbours along the row where the slope runs more along the row, along
 * the column otherwise: so a contour has one pixel in each row or column that it crosses, as an outline has.
 */
function ridgesOf({ across, down, slope: { width, height, data } }: Slopes): Uint8Array {
  const ridge = new Uint8Array(data.length);
  for (let y = 1; y < height - 1; y++) {
    for (let x = 1; x < width - 1; x++) {
      const i = y * width + x;
      const step = Math.abs(across[i]) > Math.abs(down[i]) ? 1 : width;
      if (data[i] > data[i - step] && data[i] >= data[i + step]) ridge[i] = 1;
    }
  }
  return ridge;
}

/** The weights of the ridges that hang together, stand out somewhere and are long enough. */
function linked(
  ridge: Uint8Array,
  relative: Float32Array,
  { width, height }: Field,
  pixelsPerMm: number,
): Float32Array {
  const data = ridge.map((on, i) => (on === 1 && relative[i] >= GOES_ON ? 1 : 0));
  const { labels, areas } = labelRegions({ width, height, data }, 1, 8);
  const steepest = new Float32Array(areas.length);
  for (let i = 0; i < labels.length; i++) {
    steepest[labels[i]] = Math.max(steepest[labels[i]], labels[i] > 0 ? relative[i] : 0);
  }
  const shortest = SHORTEST_MM * pixelsPerMm;
  return Float32Array.from(labels, (label, i) =>
    label > 0 && areas[label] >= shortest && steepest[label] >= STANDS_OUT
      ? weightOf(relative[i])
      : 0,
  );
}

function weightOf(relative: number): number {
  const over = (relative - GOES_ON) / (STANDS_OUT_WHOLLY - GOES_ON);
  return Math.min(Math.max(over, LEAST_WEIGHT), 1);
}
