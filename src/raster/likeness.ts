import type { Contours } from './contours.js';
import { innerBorder } from './morphology.js';
import type { Bitmap } from './raster.js';

/** How well a print keeps a picture's contours: precision, recall and boundary F-measure; each from 0 to 1. */
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
  const { data: invented } = innerBorder(print);
  const found = new Uint8Array(width * height);
  const left = new Int32Array(width * height);
  let unpaired = 0;
  let wanted = 0;
  let drawn = 0;
  for (let i = 0; i < weight.length; i++) {
    wanted += weight[i];
    drawn += invented[i];
    if (weight[i] > 0) left[unpaired++] = i;
  }
  let kept = 0;
  let paired = 0;
  for (const { dx, dy } of nearestFirst(MATCH_MM * pixelsPerMm)) {
    let still = 0;
    for (let k = 0; k < unpaired; k++) {
      const i = left[k];
      const at = i + dy * width + dx;
      // Above and below the raster there is nothing; beside it the next row begins.
      const isOutline = invented[at] === 1 && isInRow((i % width) + dx, width);
      if (!isOutline) {
        left[still++] = i;
        continue;
      }
      invented[at] = 0;
      found[i] = 1;
      kept += weight[i];
      paired += 1;
    }
    unpaired = still;
  }
  const likeness = measured(wanted > 0 ? kept / wanted : 1, drawn > 0 ? paired / drawn : 1);
  return { likeness, found, invented, wanted, drawn };
}

const isInRow = (x: number, width: number): boolean => x >= 0 && x < width;

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
