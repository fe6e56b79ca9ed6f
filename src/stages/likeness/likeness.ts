import { coverage } from '../../geometry/coverage.js';
import { contoursOf } from '../../raster/contours.js';
import { fieldOf } from '../../raster/field.js';
import { likenessOf, type Likeness } from '../../raster/likeness.js';
import { belowThreshold } from '../../raster/pointwise.js';
import type { Box, Gray } from '../../raster/raster.js';
import type { Bridged } from '../bridge/bridge.js';
import type { Picture } from '../read/read.js';
import type { Tone } from '../tone/tone.js';

export type { Likeness };

/** How well a print keeps a picture, on its card and against the picture itself. */
export interface KeptLikeness extends Likeness {
  /**
   * Share of the contours that the picture has where its longer side is `SEEN_MM`, however small the card: what a person
   * who knows the picture looks for.
   */
  readonly ofPicture: number;
}

/** An opening covers a pixel of the grid when it covers more than half of it, which is 127.5 of 255. */
const MORE_THAN_HALF = 127.50001;

/** The longer side of a picture on the usual card, 4 × 4 in within its margin, in mm; and the grid that it is seen on. */
const SEEN_MM = 90;
const SEEN_PX_PER_MM = 2;

/**
 * How well the print through the finished stencil keeps the picture's contours: recall, precision and F within 1 mm
 * on the card, as boundary benchmarks count them (`likenessOf`); and the recall as if the card were the usual one.
 */
export function likeness(
  { gray, pictureBox, pixelsPerMm }: Pick<Picture, 'gray' | 'pictureBox' | 'pixelsPerMm'>,
  { contours }: Pick<Tone, 'contours'>,
  { openings }: Pick<Bridged, 'openings'>,
): KeptLikeness {
  const drawn = coverage(openings, gray.width, gray.height, pixelsPerMm);
  const onCard = likenessOf(
    contours,
    printOf(drawn, pictureBox, contours.factor),
    contours.pixelsPerMm,
  );
  const longest = Math.max(pictureBox.width, pictureBox.height);
  const factor = Math.max(1, Math.floor(longest / (SEEN_MM * SEEN_PX_PER_MM)));
  const seenPerMm = longest / factor / SEEN_MM;
  const seen = contoursOf(fieldOf(gray, pictureBox, factor), seenPerMm);
  const { recall } = likenessOf(seen, printOf(drawn, pictureBox, factor), seenPerMm);
  return { ...onCard, ofPicture: recall };
}

function printOf(drawn: Gray, pictureBox: Box, factor: number) {
  const { width, height, data } = fieldOf(drawn, pictureBox, factor);
  return { width, height, data: belowThreshold(data, MORE_THAN_HALF, 0) };
}
