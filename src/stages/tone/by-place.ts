import type { Contours } from '../../raster/contours.js';
import type { Match } from '../../raster/likeness.js';
import { blended, argmax, worthOf } from '../../raster/per-pixel-choice.js';
import { wideBlur } from '../../raster/wide-blur.js';
import type { Decision } from './view.js';

/**
 * What a mix is judged by in a place: the neighbourhood (σ), in narrowest openings. Found by `npm run likeness`
 * (docs/measurements.md).
 */
const PLACE = 2.2;
/**
 * How softly one mix passes into the next (σ), in narrowest openings: no seam is seen, and no two mixes blur together
 * further on.
 */
const SEAM = 0.5;

/** A tone, and how its print matches the picture. */
export interface MatchedTone {
  readonly decision: Decision;
  readonly match: Match;
}

/**
 * One tone out of several: each place of the sheet takes the one whose print keeps the picture's contours best there.
 * So a face may be drawn by lines and the coat under it be a mass.
 *
 * @param drawn on the grid of the contours, the best first: where two are alike, the earlier one is taken
 * @param opening the narrowest one, in px of that grid
 * @param rate what it is worth to find all contours, against inventing as many outlines as the busiest tone has
 */
export function byPlace(
  drawn: readonly MatchedTone[],
  contours: Contours,
  opening: number,
  rate: number,
): Decision {
  const { wanted } = drawn[0].match;
  const busiest = Math.max(...drawn.map(({ match }) => match.drawn));
  const gain = rate / Math.max(wanted, 1);
  const loss = 1 / Math.max(busiest, 1);
  const worths = drawn.map(({ match }) => worthOf(match, contours, gain, loss));
  const taken = argmax(worths.map((worth) => wideBlur(worth, PLACE * opening)));
  const fields = drawn.map(({ decision }) => decision.lightness);
  const { factor } = drawn[0].decision;
  return { lightness: blended(fields, taken, SEAM * opening), factor };
}
