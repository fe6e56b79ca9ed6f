import type { Job } from '../../settings/job.js';
import { fatesOf, partsOf, type Fate, type Parts } from '../../raster/parts.js';
import type { Bitmap } from '../../raster/raster.js';
import { firstOfEach } from '../../raster/decimation.js';
import type { Picture } from '../read/read.js';

/** A part of the tone that the finished widths do not have any more. */
interface LostPart {
  /** A place in it, in mm from the sheet's left and top edge. */
  readonly at: readonly [number, number];
  readonly areaMm2: number;
  /** Dropped: too small to cut or to hold. Merged: run together with another part. */
  readonly fate: 'dropped' | 'merged';
}

/** What became of the tone's parts: its separate dark regions and the light ones that they enclose. */
export interface Survival {
  readonly parts: number;
  readonly dropped: number;
  readonly merged: number;
  /** The largest of the lost parts. */
  readonly lost: readonly LostPart[];
  /** Whether so many are lost that the card is small for the picture, or advice was asked for. */
  readonly notable: boolean;
  /** What was counted, for who asks further. */
  readonly counted: Counted;
}

/** The tone on the grid that its parts are looked at on, and what became of each of them. */
export interface Counted {
  readonly coarse: Bitmap;
  /** The tone has a pixel of the grid at every so many of its own. */
  readonly step: number;
  readonly perMm: number;
  readonly parts: Parts;
  readonly fates: readonly Fate[];
}

/** Parts are looked at on a grid of this many pixels a mm. */
const GRID_PER_MM = 5;
/** A part that is smaller is a grain that nobody misses, in mm². */
const GRAIN_MM2 = 0.25;
/** From this share of lost parts on, the card is small for the picture. */
const MANY_LOST = 1 / 3;
/** Fewer lost parts than this are no sign of a small card. */
const FEWEST_LOST = 3;
/** Lost parts that are told with their places: as many as a person looks at one by one. */
const MOST_TOLD = 12;

/** Counts which parts of a tone survive the widths of the job. */
export function survival(
  tone: Bitmap,
  widened: Bitmap,
  { pixelsPerMm }: Pick<Picture, 'pixelsPerMm'>,
  { sizeAdvice, regionEdits }: Pick<Job, 'sizeAdvice' | 'regionEdits'>,
): Survival {
  const step = Math.max(1, Math.round(pixelsPerMm / GRID_PER_MM));
  const perMm = pixelsPerMm / step;
  const coarse = firstOfEach(tone, step);
  const parts = partsOf(coarse, GRAIN_MM2 * perMm ** 2);
  const fates = fatesOf(parts, firstOfEach(widened, step));
  const count = (fate: Fate): number => fates.filter((found) => found === fate).length;
  const [dropped, merged] = [count('dropped'), count('merged')];
  const lost = dropped + merged;
  // What a person dropped is no sign of a small card either.
  const byHand = regionEdits.some((edit) => edit.do === 'drop');
  const many = !byHand && lost >= FEWEST_LOST && lost > MANY_LOST * parts.list.length;
  return {
    notable: sizeAdvice || many,
    parts: parts.list.length,
    dropped,
    merged,
    lost: lostOf(parts, fates, coarse.width, perMm),
    counted: { coarse, step, perMm, parts, fates },
  };
}

function lostOf({ list }: Parts, fates: readonly Fate[], width: number, perMm: number): LostPart[] {
  return list
    .map((part, k) => ({ part, fate: fates[k] }))
    .sort((a, b) => b.part.area - a.part.area)
    .flatMap(({ part: { first, area }, fate }): LostPart[] => {
      if (fate === 'kept') return [];
      const at = [
        ((first % width) + 0.5) / perMm,
        (Math.floor(first / width) + 0.5) / perMm,
      ] as const;
      return [{ at, areaMm2: area / perMm ** 2, fate }];
    })
    .slice(0, MOST_TOLD);
}
