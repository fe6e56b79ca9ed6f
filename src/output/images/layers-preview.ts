import type { Sheet } from '../../settings/card.js';
import { coverage } from '../../geometry/coverage.js';
import type { Shape } from '../../geometry/shape.js';
import { colourPng } from './png.js';
import { coloursOf, densities, densityOf, FULL, previewScale } from './preview.js';
import { nearFilm } from './rim.js';

/** What one sheet paints, and in which colour. */
export interface Coat {
  readonly openings: readonly Shape[];
  readonly paint: string;
}

/**
 * What the card looks like when all layers are painted, one over the other, each as the preview of a single stencil
 * shows it.
 *
 * @param coats in the order of painting
 */
export async function layersPng(
  coats: readonly Coat[],
  sheet: Sheet,
  ground: string,
): Promise<Uint8Array> {
  const pixelsPerMm = previewScale(sheet);
  const width = Math.round(sheet.widthMm * pixelsPerMm);
  const height = Math.round(sheet.heightMm * pixelsPerMm);
  const card = new Uint8Array(3 * width * height);
  coats.forEach(({ openings, paint }, k) => {
    const covered = coverage(openings, width, height, pixelsPerMm);
    const { data } = densities(covered, nearFilm(covered), pixelsPerMm);
    const colours = coloursOf(ground, paint);
    for (let i = 0; i < data.length; i++) {
      if (k > 0 && covered.data[i] === 0) continue;
      const share = k === 0 ? 1 : Math.min(Math.max(densityOf(data[i]), 0), 1);
      for (let channel = 0; channel < 3; channel++) {
        const at = 3 * i + channel;
        // The palette's colour holds the ground's share already; where the paint is thin, what is below shows.
        const coat = k === 0 ? colours[3 * data[i] + channel] : painted(colours, data[i], channel);
        card[at] = Math.round(card[at] + (coat - card[at]) * share);
      }
    }
  });
  return colourPng({ width, height, data: card }, pixelsPerMm);
}

/** The paint's own colour at a density: full, or darker where it gathers. */
function painted(colours: Uint8Array, density: number, channel: number): number {
  const full = densityOf(density) > 1 ? density : FULL;
  return colours[3 * full + channel];
}
