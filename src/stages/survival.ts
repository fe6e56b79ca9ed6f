import type { Job } from '../job.js';
import { findRegions, regionOf, type RegionRuns } from '../raster/labels.js';
import type { Bitmap, Box } from '../raster/raster.js';
import type { Picture } from './read.js';

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
  /** How much larger the card must be for nine tenths to survive; null when it was not looked for, or not found. */
  readonly enlargement: number | null;
  /** The crop, in percent of the picture, that keeps more of the parts on this card; null when none does. */
  readonly crop: { readonly box: string; readonly kept: number } | null;
}

/** Keeps the widths of a bitmap whose limits are this many times smaller. */
type Finish = (bitmap: Bitmap, pixelsPerMm: number, smaller: number) => Bitmap;

/** Parts are looked at on a grid of this many pixels a mm. */
const GRID_PER_MM = 5;
/** A part that is smaller is a grain that nobody misses, in mm². */
const GRAIN_MM2 = 0.25;
/** A part that has this share of itself left is there still. */
const LEFT = 0.25;
/** From this share of lost parts on, a larger card and a crop are looked for. */
const MANY_LOST = 1 / 3;
/** Fewer are no sign of a small card. */
const FEWEST_LOST = 3;
const NINE_TENTHS = 0.9;
/** How much larger a card is tried. */
const LARGER = [1.25, 1.6, 2, 2.5, 3.2, 4];
/** A crop is worth a word when it keeps this many times as many parts. */
const WORTHWHILE = 1.15;
/** Windows are tried at steps of this share of the picture. */
const STEPS = 24;
const MOST_TOLD = 12;

/**
 * Counts which parts of a tone survive the widths of the job; when many do not, tries the same tone on larger cards
 * (that is, with smaller limits) to say how large a card would do, and which crop keeps the most on this one.
 *
 * @param finish what keeps the widths, for the tries
 */
export function survival(
  tone: Bitmap,
  widened: Bitmap,
  picture: Pick<Picture, 'frame' | 'shows' | 'pixelsPerMm'>,
  { sizeAdvice, regionEdits }: Pick<Job, 'sizeAdvice' | 'regionEdits'>,
  finish: Finish,
): Survival {
  const step = Math.max(1, Math.round(picture.pixelsPerMm / GRID_PER_MM));
  const perMm = picture.pixelsPerMm / step;
  const coarse = everyNth(tone, step);
  const parts = partsOf(coarse, GRAIN_MM2 * perMm ** 2);
  const fates = fatesOf(parts, everyNth(widened, step));
  const count = (fate: Fate): number => fates.filter((found) => found === fate).length;
  const [dropped, merged] = [count('dropped'), count('merged')];
  const lost = dropped + merged;
  // What a person dropped is no sign of a small card either.
  const byHand = regionEdits.some((edit) => edit.do === 'drop');
  const many = !byHand && lost >= FEWEST_LOST && lost > MANY_LOST * parts.list.length;
  const wanted = sizeAdvice || many;
  const needs = wanted && lost > 0 ? needsOf(parts, fates, coarse, perMm, finish) : undefined;
  return {
    notable: wanted,
    parts: parts.list.length,
    dropped,
    merged,
    lost: lostOf(parts, fates, coarse.width, perMm),
    enlargement: needs ? enlargementOf(needs) : null,
    crop: needs ? cropOf(parts, needs, step, picture) : null,
  };
}

type Fate = 'kept' | 'dropped' | 'merged';

interface Part {
  readonly value: 0 | 1;
  readonly label: number;
  readonly area: number;
  readonly first: number;
  readonly box: readonly [left: number, top: number, right: number, bottom: number];
}

interface Parts {
  readonly dark: RegionRuns;
  readonly light: RegionRuns;
  readonly list: readonly Part[];
}

function everyNth({ width, height, data }: Bitmap, step: number): Bitmap {
  if (step === 1) return { width, height, data };
  const across = Math.ceil(width / step);
  const down = Math.ceil(height / step);
  const picked = new Uint8Array(across * down);
  for (let y = 0, i = 0; y < down; y++) {
    for (let x = 0; x < across; x++, i++) picked[i] = data[y * step * width + x * step];
  }
  return { width: across, height: down, data: picked };
}

function partsOf(bitmap: Bitmap, smallest: number): Parts {
  const dark = findRegions(bitmap, 1, 8);
  const light = findRegions(bitmap, 0, 4);
  const listed = (value: 0 | 1, { areas, first, bounds }: RegionRuns): Part[] =>
    [...areas.keys()]
      // The film round everything is no part.
      .filter(
        (label) => label > 0 && areas[label] >= smallest && !(value === 0 && first[label] === 0),
      )
      .map((label) => {
        const [left, top, right, bottom] = bounds.subarray(4 * label, 4 * label + 4);
        return {
          value,
          label,
          area: areas[label],
          first: first[label],
          box: [left, top, right, bottom],
        };
      });
  return { dark, light, list: [...listed(1, dark), ...listed(0, light)] };
}

/** What became of each part in a bitmap whose widths are kept. */
function fatesOf({ dark, light, list }: Parts, finished: Bitmap): Fate[] {
  const homes = [
    homesOf(light, findRegions(finished, 0, 4)),
    homesOf(dark, findRegions(finished, 1, 8)),
  ];
  const largest = new Map<string, Part>();
  const homeOf = (part: Part): string => `${part.value} ${homes[part.value].home[part.label]}`;
  for (const part of list) {
    const other = largest.get(homeOf(part));
    if (!other || part.area > other.area) largest.set(homeOf(part), part);
  }
  // The film round everything holds what runs together with it.
  const outside = `0 ${homes[0].outside}`;
  return list.map((part) => {
    if (homes[part.value].left[part.label] < LEFT * part.area) return 'dropped';
    const home = homeOf(part);
    return home === outside || largest.get(home) !== part ? 'merged' : 'kept';
  });
}

/** For each region: the region of the finished bitmap that most of it lies in, and how much of it is left in all. */
function homesOf(regions: RegionRuns, finished: RegionRuns) {
  const shares = Array.from({ length: regions.count + 1 }, () => new Map<number, number>());
  const left = new Int32Array(regions.count + 1);
  for (const [run, other, pixels] of commonRuns(regions, finished)) {
    const share = shares[regions.numbers[run]];
    const home = finished.numbers[other];
    left[regions.numbers[run]] += pixels;
    share.set(home, (share.get(home) ?? 0) + pixels);
  }
  const home = shares.map((share) => {
    const best = [...share].reduce((a, b) => (b[1] > a[1] ? b : a), [0, 0]);
    return best[0];
  });
  return { home, left, outside: regionOf(finished, 0) };
}

/** The runs of two bitmaps that have pixels in common, and how many. */
function* commonRuns(
  a: RegionRuns,
  b: RegionRuns,
): Generator<readonly [ofA: number, ofB: number, pixels: number]> {
  for (let i = 0, j = 0; i < a.starts.length && j < b.starts.length;) {
    const pixels = Math.min(a.ends[i], b.ends[j]) - Math.max(a.starts[i], b.starts[j]);
    if (pixels > 0) yield [i, j, pixels];
    if (a.ends[i] < b.ends[j]) i++;
    else j++;
  }
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

/** By how much the card must be larger for each part to survive; Infinity when it does on none that is tried. */
function needsOf(
  parts: Parts,
  fates: readonly Fate[],
  coarse: Bitmap,
  perMm: number,
  finish: Finish,
): Float64Array {
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
  { list }: Parts,
  needs: Float64Array,
  step: number,
  { frame, shows }: Pick<Picture, 'frame' | 'shows'>,
): Survival['crop'] {
  const place: Box = {
    x: frame.x / step,
    y: frame.y / step,
    width: frame.width / step,
    height: frame.height / step,
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
        if (kept > best.kept) best = { kept, box: inPercent(x, y, share, shows) };
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

/** A window, in shares of what is shown, as a crop in percent of the whole picture. */
function inPercent(x: number, y: number, share: number, shows: Box): string {
  const percents = [
    shows.x + x * shows.width,
    shows.y + y * shows.height,
    share * shows.width,
    share * shows.height,
  ];
  return percents.map((value) => String(Math.floor(1000 * value) / 10)).join(',');
}
