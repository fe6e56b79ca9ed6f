import type { Job } from '../../settings/job.js';
import { coreRadiusMm, type ErodedFilm } from './eroded-film.js';

/** A part of the film that ties hold: a core and the thin film round it. Places and lengths in mm. */
export interface FilmPart {
  readonly x: number;
  readonly y: number;
  readonly areaMm2: number;
  readonly spanMm: number;
  /** How many ties it should have. */
  readonly ties: number;
}

/**
 * Ties that a part should have at most: more cut what is round it to pieces, and hold no better. Common practice, no
 * source.
 */
const MOST_TIES = 6;
/** With more bridges, half the weight and half the span ask for the next one. */
const MORE = 0.5;

type PartSettings = Pick<Job, 'narrowestStrip' | 'bridgeAmount' | 'twoTiesFrom' | 'tieEvery'>;

/** The weight, in mm² of film, from which a part must not hang on a single tie; Infinity when that is not asked. */
export function heavyFrom({
  bridgeAmount,
  twoTiesFrom,
}: Pick<PartSettings, 'bridgeAmount' | 'twoTiesFrom'>): number {
  if (bridgeAmount === 'fewer') return Infinity;
  return bridgeAmount === 'more' ? MORE * twoTiesFrom : twoTiesFrom;
}

/**
 * Measures the parts, by number of their core; number 0 stands for none.
 *
 * A part has one tie, two from a weight on, and one for each begun length of its span. Common practice, no source.
 */
export function measureParts(film: ErodedFilm, settings: PartSettings): readonly FilmPart[] {
  const { areas, bounds, pixelsPerMm } = film;
  const radius = coreRadiusMm(settings.narrowestStrip) * pixelsPerMm;
  const every = settings.tieEvery * (settings.bridgeAmount === 'more' ? MORE : 1);
  const heavy = heavyFrom(settings);
  return Array.from(areas, (area, core) => {
    const [left, top, right, bottom] = bounds.subarray(4 * core, 4 * core + 4);
    const [width, height] = [right - left + 1, bottom - top + 1];
    const areaMm2 = (area + 2 * radius * (width + height)) / pixelsPerMm ** 2;
    const spanMm = (Math.max(width, height) + 2 * radius) / pixelsPerMm;
    const wanted = Math.max(areaMm2 >= heavy ? 2 : 1, Math.ceil(spanMm / every));
    return {
      x: (left + right + 1) / 2 / pixelsPerMm,
      y: (top + bottom + 1) / 2 / pixelsPerMm,
      areaMm2,
      spanMm,
      ties: heavy === Infinity ? 1 : Math.min(MOST_TIES, wanted),
    };
  });
}
