import { rasterise } from '../../geometry/rasterise.js';
import type { Shape } from '../../geometry/shape.js';
import { fieldOf } from '../../raster/field.js';
import { eroded } from '../../raster/morphology.js';
import { labelRegions } from '../../raster/labels.js';
import type { Gray } from '../../raster/raster.js';
import type { Saliency } from '../../raster/saliency.js';

/**
 * So far from film, in mm, what lies under an opening is looked at: there only long bridges come by. Lines are narrower, and beside
 * film the picture shows some of both.
 */
const FROM_FILM_MM = 1.5;
/** An opening and the film that are so much alike, in levels of 256, say nothing of what lies on either. */
const APART = 16;
/** What is less light than halfway from dark to light is dark: the edges of drawings, and a hen's golden neck. */
const HALFWAY = 0.8;
/** So much less, as a share, a place matters under an opening that is as light as what stays film. By eye. */
const LIGHTER = 0.5;

/**
 * How much each place matters to a bridge, which is film: where an opening lies on what is light in the picture, as a lamp behind
 * a head or a streak in hair is, a bridge shows what is there and takes little from it. Light is what lies
 * under the film in the mean, dark what lies under that opening, or the other way round where the opening is the lighter.
 */
export function sparingLight(
  saliency: Saliency,
  gray: Gray,
  pixelsPerMm: number,
  openings: readonly Shape[],
): Saliency {
  const { pictureBox, width, height, cell } = saliency;
  const { data: lightness } = fieldOf(gray, pictureBox, cell);
  const size = [gray.width, gray.height].map((side) => Math.ceil(side / cell));
  const open = rasterise(openings, size[0], size[1], pixelsPerMm / cell);
  const { labels, count } = labelRegions(eroded(open, (FROM_FILM_MM * pixelsPerMm) / cell), 1, 8);
  const openingOf = new Int32Array(width * height);
  const [sums, counts] = [new Float64Array(count + 1), new Float64Array(count + 1)];
  const columns = cellsAlong(pictureBox.x, width, cell, open.width);
  const rows = cellsAlong(pictureBox.y, height, cell, open.height);
  for (let y = 0, i = 0; y < height; y++) {
    const row = rows[y] * open.width;
    for (let x = 0; x < width; x++, i++) {
      const at = row + columns[x];
      const opening = labels[at];
      openingOf[i] = opening;
      if (opening === 0 && open.data[at] === 1) continue;
      sums[opening] += lightness[i];
      counts[opening] += 1;
    }
  }
  if (counts[0] === 0) return saliency;
  const means = sums.map((sum, opening) => sum / Math.max(1, counts[opening]));
  const data = saliency.data.slice();
  for (let i = 0; i < data.length; i++) {
    if (openingOf[i] === 0) continue;
    const [here, film] = [means[openingOf[i]], means[0]];
    if (Math.abs(film - here) < APART) continue;
    const share = (lightness[i] - here) / (film - here);
    const beyond = (share - HALFWAY) / (1 - HALFWAY);
    data[i] *= 1 - LIGHTER * Math.min(1, Math.max(0, beyond));
  }
  return { ...saliency, data };
}

/** For each cell along a side of the picture, the cell of the sheet that its middle lies in, 0 to `most` - 1. */
function cellsAlong(start: number, count: number, cell: number, most: number): Int32Array {
  const cells = new Int32Array(count);
  for (let k = 0; k < count; k++) {
    cells[k] = Math.min(most - 1, Math.floor((start + (k + 0.5) * cell) / cell));
  }
  return cells;
}
