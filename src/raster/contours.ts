import { gaussianBlur } from './blur.js';
import { focusOf } from './defocus.js';
import type { Field } from './field.js';
import { findRegions } from './labels.js';
import { sumOf } from './pointwise.js';
import type { Bitmap } from './raster.js';
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
/**
 * Part of the picture's own mean slope that every neighbourhood has at least, so that the grain of an empty sky is no
 * contour.
 */
const WHOLE = 0.25;
/** A contour goes on where its slope is this many times the neighbourhood's … */
const GOES_ON = 1;
/** … and is one only if it is somewhere this many times as steep … */
const STANDS_OUT = 1.5;
/** … and is at least this long, in mm: shorter ones are texture. */
const SHORTEST_MM = 2.5;
/** What stands out more than this counts no more: an eye counts as much as a coat. */
const STANDS_OUT_WHOLLY = 3;
/** The least weight of a place on a contour, as a share of the most: however faint, it counts for something. */
const LEAST_WEIGHT = 0.05;

/**
 * The contours of a picture, each place weighted by its contrast against its own neighbourhood.
 *
 * Edges after J. Canny, A computational approach to edge detection, IEEE Transactions on Pattern Analysis and
 * Machine Intelligence 8(6), 1986: the slope of the blurred picture, its ridges, and two limits, the higher one
 * for some place of a contour and the lower one for all. Here the slope is first divided by the mean slope round
 * it, so that the limits mean the same in a face and in a coat. What is out of focus is none (`focusOf`).
 *
 * @param field lightness 0 to 255
 */
export function contoursOf(field: Field, pixelsPerMm: number): Contours {
  const { width, height } = field;
  const calm = gaussianBlur(field, SCALE_MM * pixelsPerMm);
  const { slope, ridge } = ridgesOf(calm, pixelsPerMm);
  const { standing, relative } = standingOut(slope, ridge, pixelsPerMm);
  const weight = linked(standing, relative, pixelsPerMm);
  const edges = new Uint8Array(weight.length);
  for (let i = 0; i < edges.length; i++) edges[i] = weight[i] > 0 ? 1 : 0;
  const focus = focusOf(field, edges, pixelsPerMm);
  for (let i = 0; i < edges.length; i++) weight[i] *= focus[i];
  return { width, height, weight };
}

/**
 * The slope at each pixel, in levels a mm, and the pixels that are steeper than both neighbours along the row where the
 * slope runs more along the row, along the column otherwise: so a contour has one pixel in each row or column that it
 * crosses, as an outline has.
 */
function ridgesOf(
  { width, height, data }: Field,
  pixelsPerMm: number,
): { readonly slope: Field; readonly ridge: Uint8Array } {
  const n = width * height;
  const across = new Float32Array(n);
  const down = new Float32Array(n);
  const slope = new Float32Array(n);
  const ridge = new Uint8Array(n);
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
  for (let y = 1; y < height - 1; y++) {
    for (let i = y * width + 1; i < (y + 1) * width - 1; i++) {
      const step = Math.abs(across[i]) > Math.abs(down[i]) ? 1 : width;
      ridge[i] = slope[i] > slope[i - step] && slope[i] >= slope[i + step] ? 1 : 0;
    }
  }
  return { slope: { width, height, data: slope }, ridge };
}

/**
 * The slope against the mean slope round each pixel, which counts as never less than grain and a part of the whole
 * picture's; and the ridges that go on.
 */
function standingOut(
  slope: Field,
  ridge: Uint8Array,
  pixelsPerMm: number,
): { readonly standing: Bitmap; readonly relative: Float32Array } {
  const { width, height } = slope;
  const n = slope.data.length;
  const around = wideBlur(slope, NEIGHBOURHOOD_MM * pixelsPerMm);
  const least = Math.max(GRAIN, WHOLE * (sumOf(slope.data) / n));
  const relative = new Float32Array(n);
  const goesOn = new Uint8Array(n);
  for (let i = 0; i < n; i++) {
    relative[i] = slope.data[i] / Math.fround(Math.max(around.data[i], least));
    goesOn[i] = ridge[i] === 1 && relative[i] >= GOES_ON ? 1 : 0;
  }
  return { standing: { width, height, data: goesOn }, relative };
}

/** The weights of the ridges that hang together, stand out somewhere and are long enough. */
function linked(standing: Bitmap, relative: Float32Array, pixelsPerMm: number): Float32Array {
  const { starts, ends, numbers, areas } = findRegions(standing, 1, 8);
  const steepest = new Float32Array(areas.length);
  for (let run = 0; run < starts.length; run++) {
    const number = numbers[run];
    for (let i = starts[run]; i < ends[run]; i++) {
      steepest[number] = Math.max(steepest[number], relative[i]);
    }
  }
  const weight = new Float32Array(relative.length);
  for (let run = 0; run < starts.length; run++) {
    const number = numbers[run];
    if (areas[number] < SHORTEST_MM * pixelsPerMm || steepest[number] < STANDS_OUT) continue;
    for (let i = starts[run]; i < ends[run]; i++) {
      const over = (relative[i] - GOES_ON) / (STANDS_OUT_WHOLLY - GOES_ON);
      weight[i] = Math.min(Math.max(over, LEAST_WEIGHT), 1);
    }
  }
  return weight;
}
