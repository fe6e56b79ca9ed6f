import type { Job } from '../../job.js';
import type { Box } from '../../raster/raster.js';
import { findTongues, type Tongue } from '../../raster/tongues.js';
import { candidateTies } from './candidates.js';
import type { Film } from './film.js';
import { spacingOf } from './spacing.js';
import type { Leg, Tie } from './tie.js';

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
export function tongueTies(film: Film, laid: readonly Tie[], settings: TongueSettings): Tie[][] {
  if (settings.bridgeAmount === 'fewer') return [];
  const spacing = spacingOf(laid, settings.narrowestOpening);
  return findTongues(film.bitmap, film.pixelsPerMm, settings.tongueFrom).map((tongue) => {
    const { film: apart, tip } = partedFrom(film, tongue);
    if (tip === 0) return [];
    const mostMm = LONGEST_SHARE * tongue.lengthMm;
    const isAtTip = ({ from, to }: Leg): boolean => from === tip || to === tip;
    return candidateTies(apart, settings, boxRound(apart, tip, mostMm), isAtTip)
      .filter(({ neck }) => !neck)
      .filter(({ seenFrom: a, seenTo: b }) => Math.hypot(b.x - a.x, b.y - a.y) <= mostMm)
      .filter((tie) => spacing.fits(tie, 'clear'))
      .sort((a, b) => a.weight - b.weight);
  });
}

/** A film on which the outer half of a tongue is a core of its own, and its number; 0 when it is one anyway. */
function partedFrom(film: Film, { outer, stepPx }: Tongue): { film: Film; tip: number } {
  const { bitmap, areas, bounds, count } = film;
  const cores = film.cores.slice();
  const body = commonest(cores, outer);
  const tip = count + 1;
  const box = [bitmap.width, bitmap.height, 0, 0];
  let area = 0;
  for (const first of outer) {
    for (let row = 0; row < stepPx; row++) {
      const from = first + row * bitmap.width;
      for (let i = from; i < from + stepPx; i++) {
        if (body === 0 || cores[i] !== body) continue;
        cores[i] = tip;
        area++;
        const [x, y] = [i % bitmap.width, Math.floor(i / bitmap.width)];
        box[0] = Math.min(box[0], x);
        box[1] = Math.min(box[1], y);
        box[2] = Math.max(box[2], x);
        box[3] = Math.max(box[3], y);
      }
    }
  }
  if (area === 0 || area === areas[body]) return { film, tip: 0 };
  const apart = {
    ...film,
    cores,
    count: tip,
    areas: Int32Array.of(...areas, area),
    bounds: Int32Array.of(...bounds, ...box),
  };
  return { film: apart, tip };
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
function boxRound({ bitmap, bounds, pixelsPerMm }: Film, core: number, roundMm: number): Box {
  const reach = Math.ceil(roundMm * pixelsPerMm);
  const x = Math.max(0, bounds[4 * core] - reach);
  const y = Math.max(0, bounds[4 * core + 1] - reach);
  const right = Math.min(bitmap.width, bounds[4 * core + 2] + 1 + reach);
  const bottom = Math.min(bitmap.height, bounds[4 * core + 3] + 1 + reach);
  return { x, y, width: right - x, height: bottom - y };
}
