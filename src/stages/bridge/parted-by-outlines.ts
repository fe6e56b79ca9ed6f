import { findNecks, WIDTH_TOLERANCE_MM } from '../../geometry/necks.js';
import type { Shape } from '../../geometry/shape.js';
import { labelRegions } from '../../raster/labels.js';
import type { Sheet } from '../../settings/card.js';
import type { Job } from '../../settings/job.js';
import type { ErodedFilm } from './eroded-film.js';

/** A neck lies so near the core that hangs by it, in strips: between them lies what was eroded, and the neck's length. */
const NEAR_STRIPS = 2;

/**
 * The film with only those cores told apart that the outlines part. Eroded pixels part film that is a little wider than
 * the narrowest strip, and aslant; where no neck is found on the outlines near a core, it is one with the largest core of
 * its region.
 */
export function partedByOutlines(
  film: ErodedFilm,
  openings: readonly Shape[],
  sheet: Sheet,
  { narrowestStrip, narrowestOpening }: Pick<Job, 'narrowestStrip' | 'narrowestOpening'>,
): ErodedFilm {
  const { bitmap, cores, count, areas, bounds, pixelsPerMm } = film;
  const regions = labelRegions(bitmap, 0, 4);
  const regionOf = new Int32Array(count + 1);
  for (let i = 0; i < cores.length; i++) {
    if (cores[i] !== 0) regionOf[cores[i]] = regions.labels[i];
  }
  const largest = new Int32Array(regions.count + 1);
  for (let core = 1; core <= count; core++) {
    const before = largest[regionOf[core]];
    if (before === 0 || areas[core] > areas[before]) largest[regionOf[core]] = core;
  }
  if (largest.reduce((sum, core) => sum + Number(core > 0), 0) === count) return film;
  const limits = { film: narrowestStrip, opening: narrowestOpening };
  const necks = findNecks(openings, sheet, limits).filter(
    ({ region, widthMm }) => region === 'film' && widthMm < narrowestStrip - WIDTH_TOLERANCE_MM,
  );
  const near = NEAR_STRIPS * narrowestStrip;
  const isParted = (core: number): boolean => {
    const [left, top, right, bottom] = [0, 1, 2, 3].map((k) => bounds[4 * core + k] / pixelsPerMm);
    return necks.some(({ from, to }) => {
      const [x, y] = [(from.x + to.x) / 2, (from.y + to.y) / 2];
      return x > left - near && x < right + near && y > top - near && y < bottom + near;
    });
  };
  const same = new Int32Array(count + 1);
  const made = { count: 0, areas: [0], bounds: [0, 0, 0, 0] };
  // Those that others become part of come first.
  const order = Array.from({ length: count }, (_, k) => k + 1).sort(
    (a, b) => Number(largest[regionOf[b]] === b) - Number(largest[regionOf[a]] === a) || a - b,
  );
  for (const core of order) {
    const home = largest[regionOf[core]];
    if (home === core || isParted(core)) {
      same[core] = ++made.count;
      made.areas.push(areas[core]);
      made.bounds.push(...bounds.slice(4 * core, 4 * core + 4));
      continue;
    }
    const into = same[home];
    same[core] = into;
    made.areas[into] += areas[core];
    for (const k of [0, 1, 2, 3]) {
      const at = 4 * into + k;
      made.bounds[at] = (k < 2 ? Math.min : Math.max)(made.bounds[at], bounds[4 * core + k]);
    }
  }
  return {
    ...film,
    cores: cores.map((core) => same[core]),
    count: made.count,
    areas: Int32Array.from(made.areas),
    bounds: Int32Array.from(made.bounds),
  };
}
