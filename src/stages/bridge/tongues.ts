import type { Job } from '../../settings/job.js';
import { boundsOfPixels } from '../../raster/crop.js';
import type { Box } from '../../raster/raster.js';
import { findTongues, type Tongue } from '../../raster/tongues.js';
import { candidateTies } from './candidates.js';
import type { ErodedFilm } from './eroded-film.js';
import { spacingOf } from './spacing.js';
import type { CandidateEdge, Tie } from './tie.js';

/** A tongue is tied by nothing longer than this share of its length: it would show more than it holds. */
const LONGEST_SHARE = 1 / 3;

type TongueSettings = Pick<
  Job,
  'bridgeAmount' | 'tongueFrom' | 'bridgeWidth' | 'narrowestStrip' | 'narrowestOpening'
>;

/**
 * For each tongue of the film the places at which its outer half could be tied to other film, the best first: it would
 * flap, or snap at its root, when the piece is lifted out. None when few bridges are wanted.
 *
 * @param laid the ties that there are, from which the new ones keep away
 */
export function tongueTies(
  film: ErodedFilm,
  laid: readonly Tie[],
  settings: TongueSettings,
): Tie[][] {
  if (settings.bridgeAmount === 'fewer') return [];
  const spacing = spacingOf(laid, settings.narrowestOpening);
  return findTongues(film.bitmap, film.pixelsPerMm, settings.tongueFrom).map((tongue) =>
    withTipApart(film, tongue, (apart, tip) => {
      const mostMm = LONGEST_SHARE * tongue.lengthMm;
      const isAtTip = ({ from, to }: CandidateEdge): boolean => from === tip || to === tip;
      return candidateTies(apart, settings, boxRound(apart, tip, mostMm), isAtTip)
        .filter(({ followsNeck }) => !followsNeck)
        .filter(({ gapStart: a, gapEnd: b }) => Math.hypot(b.x - a.x, b.y - a.y) <= mostMm)
        .filter((tie) => spacing.fits(tie, 'spread'))
        .sort((a, b) => a.cost - b.cost);
    }),
  );
}

/**
 * Makes the outer half of a tongue a core of its own while `look` runs, which is given that film and the core's number; no
 * ties where the tip is a core already. The cores are changed in place and put back afterwards, since a copy for each
 * tongue would take longer than the search: `look` must not keep the film.
 */
function withTipApart(
  film: ErodedFilm,
  { outer, stepPx }: Tongue,
  look: (apart: ErodedFilm, tip: number) => Tie[],
): Tie[] {
  const { cores, areas, bounds, count, bitmap } = film;
  const body = commonest(cores, outer);
  const pixels = body === 0 ? [] : squaresOf(outer, stepPx, bitmap.width, (i) => cores[i] === body);
  if (pixels.length === 0 || pixels.length === areas[body]) return [];
  const tip = count + 1;
  const apart = {
    ...film,
    count: tip,
    areas: Int32Array.of(...areas, pixels.length),
    bounds: Int32Array.of(...bounds, ...boundsOfPixels(pixels, bitmap.width)),
  };
  for (const i of pixels) cores[i] = tip;
  try {
    return look(apart, tip);
  } finally {
    for (const i of pixels) cores[i] = body;
  }
}

/** The pixels of squares that are wanted, given the squares' top left ones. */
function squaresOf(
  squares: Int32Array,
  side: number,
  width: number,
  isWanted: (pixel: number) => boolean,
): number[] {
  const pixels: number[] = [];
  for (const first of squares) {
    for (let row = 0; row < side; row++) {
      const from = first + row * width;
      for (let i = from; i < from + side; i++) if (isWanted(i)) pixels.push(i);
    }
  }
  return pixels;
}

/** The core that most of some pixels belong to; 0 when none does. */
function commonest(cores: Int32Array, pixels: Int32Array): number {
  const counts = new Map<number, number>();
  let best = 0;
  for (const pixel of pixels) {
    const core = cores[pixel];
    if (core === 0) continue;
    const count = (counts.get(core) ?? 0) + 1;
    counts.set(core, count);
    if (count > (counts.get(best) ?? 0)) best = core;
  }
  return best;
}

/** The part of the sheet that a core lies in, and so much round it. */
function boxRound({ bitmap, bounds, pixelsPerMm }: ErodedFilm, core: number, roundMm: number): Box {
  const reach = Math.ceil(roundMm * pixelsPerMm);
  const x = Math.max(0, bounds[4 * core] - reach);
  const y = Math.max(0, bounds[4 * core + 1] - reach);
  const right = Math.min(bitmap.width, bounds[4 * core + 2] + 1 + reach);
  const bottom = Math.min(bitmap.height, bounds[4 * core + 3] + 1 + reach);
  return { x, y, width: right - x, height: bottom - y };
}
