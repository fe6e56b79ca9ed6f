import * as kernels from '../kernels/generated.js';
import { kernelArrays } from '../kernels/memory.js';
import type { Contours } from './contours.js';
import type { Bitmap } from './raster.js';

/** How well a print keeps a picture's contours; each from 0 to 1. */
export interface Likeness {
  /** Share of the picture's contours, by weight, that the print has. */
  readonly recall: number;
  /** Share of the print's outlines that lie on a contour of the picture, be it faint. */
  readonly precision: number;
  /** The harmonic mean of the two. */
  readonly f: number;
}

/** How far apart a contour of the picture and an outline of the print may be and still be the same, in mm. */
const MATCH_MM = 1;

/**
 * Matches the outlines of a print with a picture's contours, pixel by pixel, one to one, the nearest first.
 *
 * D. R. Martin, C. C. Fowlkes & J. Malik, Learning to detect natural image boundaries using local brightness,
 * color, and texture cues, IEEE Transactions on Pattern Analysis and Machine Intelligence 26(5), 2004: one to one,
 * so that many small outlines round one contour do not all count as found. There the assignment is the one of least
 * total distance; nearest first comes near to it at a small part of the cost. The picture's own edge is left out on
 * both sides: the card's print ends there in any case.
 *
 * @param print the openings on the grid of the contours
 * @param pixelsPerMm of that grid
 * @returns a picture without contours has a recall of 1, a print without outlines a precision of 1
 */
export function likenessOf(contours: Contours, print: Bitmap, pixelsPerMm: number): Likeness {
  return matchOf(contours, print, pixelsPerMm).likeness;
}

/** A print's likeness, and where it comes from: one value a pixel. */
export interface Match {
  readonly likeness: Likeness;
  /** 1 on the picture's contours that the print shows. */
  readonly found: Uint8Array;
  /** 1 on the print's outlines that lie on no contour. */
  readonly invented: Uint8Array;
  /** The weight of the picture's contours in all. */
  readonly wanted: number;
  /** The pixels of the print's outlines in all. */
  readonly drawn: number;
}

/** `likenessOf`, and what it found and missed. */
export function matchOf(contours: Contours, print: Bitmap, pixelsPerMm: number): Match {
  const { width, height, weight } = contours;
  const stepsFrom = nearestFirst(MATCH_MM * pixelsPerMm).flatMap(({ dx, dy }) => [dx, dy]);
  const n = width * height;
  const [weights, data, outline, steps, left, found, sums] = kernelArrays(
    [Float32Array, n],
    [Uint8Array, n],
    [Uint8Array, n],
    [Int32Array, stepsFrom.length],
    [Int32Array, n],
    [Uint8Array, n],
    [Float64Array, kernels.MATCH_SUMS],
  );
  weights.set(weight);
  data.set(print.data);
  steps.set(stepsFrom);
  const size = [width, height] as const;
  kernels.markOutline(data, ...size, outline);
  kernels.matchOutline(weights, ...size, outline, steps, steps.length / 2, left, found, sums); // prettier-ignore
  const [wanted, drawn, kept, paired] = sums;
  const likeness = measured(wanted > 0 ? kept / wanted : 1, drawn > 0 ? paired / drawn : 1);
  return { likeness, found: found.slice(), invented: outline.slice(), wanted, drawn };
}

function measured(recall: number, precision: number): Likeness {
  const sum = recall + precision;
  return { recall, precision, f: sum > 0 ? (2 * recall * precision) / sum : 0 };
}

/** Steps to the pixels within reach, from the nearest to the farthest. */
function nearestFirst(reach: number): { readonly dx: number; readonly dy: number }[] {
  const steps: { readonly dx: number; readonly dy: number }[] = [];
  const most = Math.floor(reach);
  for (let dy = -most; dy <= most; dy++) {
    for (let dx = -most; dx <= most; dx++) {
      if (dx * dx + dy * dy <= reach * reach) steps.push({ dx, dy });
    }
  }
  return steps.sort((a, b) => a.dx ** 2 + a.dy ** 2 - b.dx ** 2 - b.dy ** 2);
}
