import { gaussianBlur } from '../../raster/blur.js';
import type { Contours } from '../../raster/contours.js';
import type { Field } from '../../raster/field.js';
import type { Match } from '../../raster/likeness.js';
import { wideBlur } from '../../raster/wide-blur.js';
import type { Decision } from './view.js';

/** What a mix is judged by in a place: the neighbourhood (σ), in narrowest openings. */
const PLACE = 2.2;
/** How softly one mix passes into the next (σ), in narrowest openings. */
const SEAM = 0.5;
/** A contour found is worth this much more than likeness alone makes it: bridges will take some. */
const BESIDES = 2.5;

/** A tone, and how its print matches the picture. */
export interface Drawn {
  readonly decision: Decision;
  readonly match: Match;
}

/**
 * One tone out of several: each place of the sheet takes the one whose print keeps the picture's contours best there.
 * So a face may be drawn by lines and the coat under it be a mass.
 *
 * A place's worth is what its contours, found or invented, add to the likeness of the whole: F is a mean of recall and
 * precision, and near a print's own F each counts in proportion to its derivative.
 *
 * @param drawn on the grid of the contours, the best first: where two are alike, the earlier one is taken
 * @param opening the narrowest one, in px of that grid
 */
export function byPlace(drawn: readonly Drawn[], contours: Contours, opening: number): Decision {
  const { width, height } = contours;
  const worths = drawn.map(({ match }) => wideBlur(worthOf(match, contours), PLACE * opening));
  const taken = largestOf(worths);
  const data = new Float32Array(taken.length);
  for (const [k, { decision }] of drawn.entries()) {
    const here = new Float32Array(taken.length);
    for (let i = 0; i < here.length; i++) if (taken[i] === k) here[i] = 1;
    const share = gaussianBlur({ width, height, data: here }, SEAM * opening).data;
    for (let i = 0; i < data.length; i++) data[i] += share[i] * decision.lightness.data[i];
  }
  return { lightness: { width, height, data }, factor: drawn[0].decision.factor };
}

/** What each pixel adds to the likeness of the whole print. */
function worthOf(
  { likeness: { recall, precision }, found, invented, wanted, drawn }: Match,
  { width, height, weight }: Contours,
): Field {
  const sum = recall + precision || 1;
  const byWeight = (2 * (precision / sum) ** 2 + BESIDES) / Math.max(wanted, 1);
  const byPixel = (2 * (recall / sum) ** 2) / Math.max(drawn, 1);
  const data = new Float32Array(invented.length);
  for (let i = 0; i < data.length; i++) data[i] = -byPixel * invented[i];
  for (const i of found) data[i] += weight[i] * byWeight;
  return { width, height, data };
}

/** For each pixel the field that is largest there, the earlier one of equals. */
function largestOf(fields: readonly Field[]): Uint8Array {
  const [first, ...others] = fields.map(({ data }) => data);
  const largest = first.slice();
  const which = new Uint8Array(first.length);
  for (const [k, data] of others.entries()) {
    for (let i = 0; i < data.length; i++) {
      if (data[i] <= largest[i]) continue;
      largest[i] = data[i];
      which[i] = k + 1;
    }
  }
  return which;
}
