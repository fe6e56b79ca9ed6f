import { furtherThan } from './distance.js';
import { findRegions, labelRegions, type Regions } from './labels.js';
import { stepsRound } from './neighbours.js';
import type { Bitmap } from './raster.js';
import { decimated } from './decimation.js';

/** A part of the film that juts out, long and narrow, and is held at one end only. Places and lengths in mm. */
export interface Tongue {
  readonly tip: readonly [number, number];
  readonly root: readonly [number, number];
  readonly lengthMm: number;
  /** Its outer half, as the top left pixels of squares of `stepPx`, by number in the bitmap. */
  readonly outer: Int32Array;
  readonly stepPx: number;
}

/** A tongue is narrower everywhere than its least length by so many times. Common practice, no source. */
const SLENDER = 4;
/** What is looked at: no film or opening that can be cut falls between such steps, in mm. */
const STEP_MM = 0.3;

/**
 * Finds the tongues of the film: parts narrower than a quarter of `longMm` that run out so far or further from the
 * wider film, counted along the way, and meet it in one place.
 *
 * The wider film is what an opening by a disk leaves of it (Serra, Image Analysis and Mathematical Morphology, 1982);
 * of the rest each connected piece is a tongue, a strip between two places, or too short.
 */
export function findTongues(bitmap: Bitmap, pixelsPerMm: number, longMm: number): Tongue[] {
  const stepPx = Math.max(1, Math.round(STEP_MM * pixelsPerMm));
  const coarse = decimated(bitmap, stepPx);
  const perMm = pixelsPerMm / stepPx;
  const radius = (longMm / SLENDER / 2) * perMm;
  const narrow = narrowFilm(coarse, radius);
  const pieces = labelRegions(narrow, 1, 8);
  const tongues: Tongue[] = [];
  for (let piece = 1; piece <= pieces.count; piece++) {
    // A way through film that holds is several pixels wide: no piece is longer than its pixels are many.
    if (pieces.areas[piece] < longMm * perMm) continue;
    const mouth = mouthOf(coarse, pieces, piece);
    if (!mouth) continue;
    const ways = waysFrom(mouth, pieces, piece, coarse.width);
    const tip = furthest(ways);
    const lengthMm = (ways.get(tip) ?? 0) / perMm;
    if (lengthMm < longMm) continue;
    const half = (lengthMm * perMm) / 2;
    const place = (i: number): readonly [number, number] => [
      ((i % coarse.width) + 0.5) / perMm,
      (Math.floor(i / coarse.width) + 0.5) / perMm,
    ];
    const outer = [...ways].filter(([, way]) => way > half).map(([i]) => i);
    tongues.push({
      tip: place(tip),
      root: place(mouth[mouth.length >> 1]),
      lengthMm,
      outer: Int32Array.from(outer, (i) => fine(i, coarse.width, bitmap.width, stepPx)),
      stepPx,
    });
  }
  return tongues;
}

function fine(i: number, coarseWidth: number, width: number, stepPx: number): number {
  return Math.floor(i / coarseWidth) * stepPx * width + (i % coarseWidth) * stepPx;
}

/** The film that no disk of a radius fits into: 1 where it is. A pixel along the wider film's edge is rounding. */
function narrowFilm(bitmap: Bitmap, radius: number): Bitmap {
  const [data] = furtherThan(bitmap, 1, [radius * radius]);
  const [beyond] = furtherThan({ ...bitmap, data }, 1, [(radius + 1) ** 2]);
  for (let i = 0; i < beyond.length; i++) beyond[i] &= 1 - bitmap.data[i];
  return { ...bitmap, data: beyond };
}

/** The pixels of a piece at which it meets other film, where that is one place; undefined when it is none or several. */
function mouthOf(
  { width, height, data }: Bitmap,
  { labels, bounds }: Regions,
  piece: number,
): readonly number[] | undefined {
  const [left, top, right, bottom] = bounds.subarray(4 * piece, 4 * piece + 4);
  // What it meets lies in the box round it and a pixel more.
  const [wide, high] = [right - left + 3, bottom - top + 3];
  const met = new Uint8Array(wide * high);
  const steps = [-1, 1, -width, width];
  const stepsThere = [-1, 1, -wide, wide];
  const mouth: number[] = [];
  for (let y = Math.max(1, top); y <= Math.min(height - 2, bottom); y++) {
    for (let x = Math.max(1, left); x <= Math.min(width - 2, right); x++) {
      const i = y * width + x;
      if (labels[i] !== piece) continue;
      let meets = false;
      for (let side = 0; side < 4; side++) {
        const other = i + steps[side];
        if (data[other] !== 0 || labels[other] === piece) continue;
        met[(y - top + 1) * wide + (x - left + 1) + stepsThere[side]] = 1;
        meets = true;
      }
      if (meets) mouth.push(i);
    }
  }
  return findRegions({ width: wide, height: high, data: met }, 1, 8).count === 1
    ? mouth
    : undefined;
}

/** Ways this near each other are as long, in px: what sums of steps may be off by, so that none is walked twice for it. */
const AS_LONG = 1e-9;

/** By pixel of a piece, how far it is from its mouth, in px: the shortest way within the piece, by steps of 45°. */
function waysFrom(
  mouth: readonly number[],
  { labels }: Regions,
  piece: number,
  width: number,
): ReadonlyMap<number, number> {
  const ways = new Map(mouth.map((i) => [i, 0]));
  const steps = stepsRound(width);
  const queue = [...mouth];
  for (const i of queue) {
    const here = ways.get(i) ?? 0;
    for (const step of steps) {
      const next = i + step;
      if (labels[next] !== piece) continue;
      const way = here + (Math.abs(step) === 1 || Math.abs(step) === width ? 1 : Math.SQRT2);
      if (way >= (ways.get(next) ?? Infinity) - AS_LONG) continue;
      ways.set(next, way);
      queue.push(next);
    }
  }
  return ways;
}

function furthest(ways: ReadonlyMap<number, number>): number {
  let best = -1;
  let most = -1;
  for (const [i, way] of ways) {
    if (way <= most) continue;
    best = i;
    most = way;
  }
  return best;
}
