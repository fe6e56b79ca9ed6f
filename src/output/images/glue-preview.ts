import type { Sheet } from '../../settings/card.js';
import { coverage } from '../../geometry/coverage.js';
import type { Shape } from '../../geometry/shape.js';
import type { Job } from '../../settings/job.js';
import type { Gray } from '../../raster/raster.js';
import { indexedPng } from './png.js';
import { coloursOf, densities, previewScale } from './preview.js';
import { nearFilm } from './rim.js';

/** Between the two cards, mm: the gap is as bare as card, with a line on either side. */
const GAP_MM = 6;
/** The palette's lit card, and a tone between card and paint for the cards' edges. */
const [LIT, EDGE] = [0, 90];

/**
 * What comes of lines of glue: at the left the card sprayed round them, as they lie; at the right what they print when
 * they are painted and pressed on it, which is the mirror image of how they lie.
 *
 * @param openings what the glue does not cover, as the picture is
 */
export async function gluePreviewPng(
  openings: readonly Shape[],
  sheet: Sheet,
  job: Pick<Job, 'paint' | 'ground' | 'glueUse'>,
): Promise<Uint8Array> {
  const gap = GAP_MM;
  const pixelsPerMm = previewScale({ widthMm: 2 * sheet.widthMm + gap, heightMm: sheet.heightMm });
  const width = Math.round(sheet.widthMm * pixelsPerMm);
  const height = Math.round(sheet.heightMm * pixelsPerMm);
  const as = coverage(openings, width, height, pixelsPerMm);
  const isMirrored = job.glueUse === 'print-with';
  const sprayed = isMirrored ? mirrored(as) : as;
  const printed = mirrored(inverted(sprayed));
  const parts = [sprayed, printed].map((covered) =>
    densities(covered, nearFilm(covered), pixelsPerMm),
  );
  const indices = beside(parts, Math.round(gap * pixelsPerMm));
  return indexedPng(indices, coloursOf(job.ground, job.paint), pixelsPerMm);
}

function mirrored({ width, height, data }: Gray): Gray {
  const turned = new Uint8Array(data.length);
  for (let y = 0; y < height; y++)
    turned.set(data.subarray(y * width, (y + 1) * width).toReversed(), y * width);
  return { width, height, data: turned };
}

function inverted({ width, height, data }: Gray): Gray {
  return { width, height, data: data.map((value) => 255 - value) };
}

function beside([left, right]: readonly Gray[], gap: number): Gray {
  const { width, height } = left;
  const whole = 2 * width + gap;
  const data = new Uint8Array(whole * height).fill(LIT);
  for (let y = 0; y < height; y++) {
    data.set(left.data.subarray(y * width, (y + 1) * width), y * whole);
    data[y * whole + width] = EDGE;
    data[y * whole + width + gap - 1] = EDGE;
    data.set(right.data.subarray(y * width, (y + 1) * width), y * whole + width + gap);
  }
  return { width: whole, height, data };
}
