import { cropText } from '../../raster/placement.js';
import { fatesOf, type Part } from '../../raster/parts.js';
import type { Bitmap, Box } from '../../raster/raster.js';
import type { Picture } from '../read/read.js';
import type { Counted, Survival } from '../survival/survival.js';

/** What would help where many parts of a tone are lost. */
export interface Advice {
  /** How much larger the card must be for nine tenths to survive; null when it was not looked for, or not found. */
  readonly enlargement: number | null;
  /** The crop, in percent of the picture, that keeps more of the parts on this card; null when none does. */
  readonly crop: { readonly box: string; readonly kept: number } | null;
}

/** Keeps the widths of a bitmap whose limits are this many times smaller. */
type WidenSmaller = (bitmap: Bitmap, pixelsPerMm: number, smaller: number) => Bitmap;

/** The share of the parts that a card must keep to do: the last few, the finest, would ask for a far larger one. */
const NINE_TENTHS = 0.9;
/**
 * How much larger a card is tried: each step about a quarter more, up to four times, beyond which no one goes from a
 * card.
 */
const LARGER = [1.25, 1.6, 2, 2.5, 3.2, 4];
/**
 * A crop is worth a word when it keeps this many times as many parts: a smaller gain is not worth what it leaves out.
 */
const WORTHWHILE = 1.15;
/** Windows are tried at steps of so many to the picture's side: 4 % is what a hand crops to. */
const STEPS = 24;

/**
 * Tries the same tone on larger cards (that is, with smaller limits) to say how large a card would do, and which crop
 * keeps the most on this one.
 *
 * @param finish what keeps the widths, for the tries
 */
export function advise(
  survived: Survival,
  picture: Pick<Picture, 'pictureBox' | 'shows'>,
  finish: WidenSmaller,
): Advice {
  if (!survived.notable || survived.lost.length === 0) return { enlargement: null, crop: null };
  const { parts, step } = survived.counted;
  const needs = needsOf(survived.counted, finish);
  return { enlargement: enlargementOf(needs), crop: cropOf(parts.list, needs, step, picture) };
}

/** Of the parts of a tone, the share that the widths lose. */
export function lostShare({ parts, dropped, merged }: Survival): number {
  return parts > 0 ? (dropped + merged) / parts : 0;
}

/** By how much the card must be larger for each part to survive; Infinity when it does on none that is tried. */
function needsOf({ parts, fates, coarse, perMm }: Counted, finish: WidenSmaller): Float64Array {
  const needs = Float64Array.from(fates, (fate) => (fate === 'kept' ? 1 : Infinity));
  for (const larger of LARGER) {
    const survives = fatesOf(parts, finish(coarse, perMm, larger));
    survives.forEach((fate, k) => {
      if (fate === 'kept' && needs[k] > larger) needs[k] = larger;
    });
    const kept = survives.filter((fate) => fate === 'kept').length;
    if (kept >= NINE_TENTHS * survives.length) break;
  }
  return needs;
}

function enlargementOf(needs: Float64Array): number | null {
  const sorted = needs.toSorted();
  const needed = sorted[Math.ceil(NINE_TENTHS * sorted.length) - 1];
  return Number.isFinite(needed) ? needed : null;
}

/** The window of the picture that keeps the most parts when it is enlarged to fill the place of the whole. */
function cropOf(
  list: readonly Part[],
  needs: Float64Array,
  step: number,
  { pictureBox, shows }: Pick<Picture, 'pictureBox' | 'shows'>,
): Advice['crop'] {
  const place: Box = {
    x: pictureBox.x / step,
    y: pictureBox.y / step,
    width: pictureBox.width / step,
    height: pictureBox.height / step,
  };
  let best = { kept: WORTHWHILE * needs.filter((need) => need === 1).length, box: '' };
  for (const larger of LARGER) {
    const share = 1 / larger;
    for (let row = 0; row <= STEPS; row++) {
      for (let column = 0; column <= STEPS; column++) {
        const x = ((1 - share) * column) / STEPS;
        const y = ((1 - share) * row) / STEPS;
        const kept = countWithin(list, needs, larger, {
          x: place.x + x * place.width,
          y: place.y + y * place.height,
          width: share * place.width,
          height: share * place.height,
        });
        if (kept > best.kept)
          best = { kept, box: cropText({ x, y, width: share, height: share }, shows) };
      }
    }
  }
  return best.box === '' ? null : { box: best.box, kept: best.kept };
}

function countWithin(
  list: readonly Part[],
  needs: Float64Array,
  larger: number,
  { x, y, width, height }: Box,
): number {
  let count = 0;
  list.forEach(({ box: [left, top, right, bottom] }, k) => {
    if (needs[k] > larger) return;
    if (left >= x && top >= y && right < x + width && bottom < y + height) count++;
  });
  return count;
}
