import * as kernels from '../kernels/generated.js';
import { kernelArrays } from '../kernels/memory.js';
import { gaussianBlur } from './blur.js';
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
  const { slope, ridge } = ridgesOf(calm, pixelsPerMm);
  const { standing, relative } = standingOut(slope, ridge, pixelsPerMm);
  return { width, height, weight: linked(standing, relative, pixelsPerMm) };
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
  const [values, across, down, slope, ridge] = kernelArrays(
    [Float32Array, n],
    [Float32Array, n],
    [Float32Array, n],
    [Float32Array, n],
    [Uint8Array, n],
  );
  values.set(data);
  kernels.findRidges(values, width, height, pixelsPerMm, across, down, slope, ridge);
  return { slope: { width, height, data: slope.slice() }, ridge: ridge.slice() };
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
  const [slopes, usual, ridges, relative] = kernelArrays(
    [Float32Array, n],
    [Float32Array, n],
    [Uint8Array, n],
    [Float32Array, n],
  );
  slopes.set(slope.data);
  usual.set(around.data);
  ridges.set(ridge);
  kernels.compareSlopes(slopes, usual, least, n, GOES_ON, ridges, relative);
  return { standing: { width, height, data: ridges.slice() }, relative: relative.slice() };
}

/** The weights of the ridges that hang together, stand out somewhere and are long enough. */
function linked(standing: Bitmap, relative: Float32Array, pixelsPerMm: number): Float32Array {
  const { starts, ends, numbers, areas } = findRegions(standing, 1, 8);
  const runs = starts.length;
  const [froms, tos, ofs, sizes, slopes, steepest, weight] = kernelArrays(
    [Int32Array, runs],
    [Int32Array, runs],
    [Int32Array, runs],
    [Int32Array, areas.length],
    [Float32Array, relative.length],
    [Float32Array, areas.length],
    [Float32Array, relative.length],
  );
  froms.set(starts);
  tos.set(ends);
  ofs.set(numbers);
  sizes.set(areas);
  slopes.set(relative);
  steepest.fill(0);
  weight.fill(0);
  const limits = [SHORTEST_MM * pixelsPerMm, STANDS_OUT] as const;
  const weights = [GOES_ON, STANDS_OUT_WHOLLY, LEAST_WEIGHT] as const;
  kernels.weighRidges(froms, tos, ofs, runs, sizes, slopes, ...limits, ...weights, steepest, weight); // prettier-ignore
  return weight.slice();
}
