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
  const outline = outlineOf(print);
  const { weight } = contours;
  let wanted = 0;
  let drawn = 0;
  for (let i = 0; i < weight.length; i++) {
    wanted += weight[i];
    drawn += outline[i];
  }
  const found = match(contours, outline, MATCH_MM * pixelsPerMm);
  const recall = wanted > 0 ? found.weight / wanted : 1;
  const precision = drawn > 0 ? found.pixels / drawn : 1;
  const sum = recall + precision;
  return { recall, precision, f: sum > 0 ? (2 * recall * precision) / sum : 0 };
}

/** Pairs contour pixels with outline pixels, which are taken off as they are paired. */
function match(
  { width, height, weight }: Contours,
  outline: Uint8Array,
  reach: number,
): { readonly weight: number; readonly pixels: number } {
  let left = pixelsOf(weight);
  const found = { weight: 0, pixels: 0 };
  for (const { dx, dy } of nearestFirst(reach)) {
    const unmatched: number[] = [];
    for (const i of left) {
      const x = (i % width) + dx;
      const y = Math.floor(i / width) + dy;
      const at = y * width + x;
      if (x < 0 || y < 0 || x >= width || y >= height || outline[at] === 0) {
        unmatched.push(i);
        continue;
      }
      outline[at] = 0;
      found.weight += weight[i];
      found.pixels++;
    }
    left = unmatched;
  }
  return found;
}

function pixelsOf(weight: Float32Array): number[] {
  const pixels: number[] = [];
  for (let i = 0; i < weight.length; i++) if (weight[i] > 0) pixels.push(i);
  return pixels;
}

/** 1 on the pixels of openings that share a side with film; the raster's own rim is left out. */
function outlineOf({ width, height, data }: Bitmap): Uint8Array {
  const outline = new Uint8Array(data.length);
  for (let y = 1; y < height - 1; y++) {
    for (let x = 1; x < width - 1; x++) {
      const i = y * width + x;
      const inside = data[i - 1] & data[i + 1] & data[i - width] & data[i + width];
      outline[i] = data[i] & (1 - inside);
    }
  }
  return outline;
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
