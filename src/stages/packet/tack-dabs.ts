import { halfCoveredSheet } from '../../geometry/coverage.js';
import { flatten } from '../../geometry/flatten.js';
import { imageOf, type FoldPattern } from '../../geometry/fold-pattern.js';
import { segmentIndex } from '../../geometry/segment-index.js';
import type { Point, Shape } from '../../geometry/shape.js';
import { squaredDistance } from '../../raster/distance.js';
import type { Bitmap } from '../../raster/raster.js';
import { findTongues } from '../../raster/tongues.js';
import type { Sheet } from '../../settings/card.js';
import type { Job } from '../../settings/job.js';

/** On spunbonded sheet a tongue lifts that is longer than this, in mm. Common practice, from memory, no source. */
const TONGUE_MM = 15;
/** Half a dab of glue, in mm: what a toothpick leaves. Common practice, from memory, no source. */
const DAB_MM = 1.5;
/** A dab keeps so far off the edge of the film, in mm: beyond it, it would hold the paper below. */
const SPARE_MM = 0.2;
/** Along a fold glue is looked for in steps of so many mm. */
const STEP_MM = 1;
/** Nearer together than this, in mm, one dab of glue does. */
const APART_MM = 6;

/** Where dabs of glue fit on the film of an opened sheet. */
interface Film {
  readonly bitmap: Bitmap;
  readonly pixelsPerMm: number;
  /** The number of the pixel at a place; -1 off the sheet. */
  at(place: Point): number;
  placeOf(pixel: number): Point;
  /** Whether a dab round a place lies on film all over. */
  fits(place: Point): boolean;
}

/**
 * Where the opened sheet lifts: at its folds' meeting place, or on the middle of each fold, and at the points of long
 * tongues, each where a dab of glue fits.
 *
 * @returns in mm on the opened sheet
 */
export function placeTackDabs(
  openings: readonly Shape[],
  pattern: FoldPattern,
  { sheet, pixelsPerMm }: { readonly sheet: Sheet; readonly pixelsPerMm: number },
  { narrowestStrip }: Pick<Job, 'narrowestStrip'>,
): Point[] {
  const bitmap = halfCoveredSheet(openings, sheet, pixelsPerMm);
  const dabMm = Math.min(DAB_MM, narrowestStrip / 2 - SPARE_MM);
  const film = filmOf(openings, bitmap, sheet, pixelsPerMm, dabMm);
  const tips = findTongues(bitmap, pixelsPerMm, TONGUE_MM).flatMap(({ tip: [x, y], lengthMm }) =>
    alongFilm({ x, y }, lengthMm / 2, film),
  );
  return distinct([...onFolds(pattern, film), ...tips]);
}

function filmOf(
  openings: readonly Shape[],
  bitmap: Bitmap,
  sheet: Sheet,
  pixelsPerMm: number,
  dabMm: number,
): Film {
  const { width, height } = bitmap;
  const squared = squaredDistance(bitmap, 1);
  // From middle to middle of pixels: half of each may be film, and a place on a fold may lie at its pixel's corner.
  const least = (dabMm * pixelsPerMm + 1 + Math.SQRT1_2) ** 2;
  const placeOf = (pixel: number): Point => ({
    x: ((pixel % width) + 0.5) / pixelsPerMm,
    y: (Math.floor(pixel / width) + 0.5) / pixelsPerMm,
  });
  const at = ({ x, y }: Point): number => {
    const [u, v] = [Math.floor(x * pixelsPerMm), Math.floor(y * pixelsPerMm)];
    return u >= 0 && v >= 0 && u < width && v < height ? v * width + u : -1;
  };
  // The point of a slit is narrower than half a pixel, so that the bitmap has film there.
  const edges = segmentIndex(
    openings.flatMap(({ outer, holes }) => [outer, ...holes]).map((outline) => flatten(outline)),
  );
  return {
    bitmap,
    pixelsPerMm,
    at,
    placeOf,
    fits: (place) => {
      const pixel = at(place);
      if (pixel < 0 || bitmap.data[pixel] === 1 || squared[pixel] < least) return false;
      const { x, y } = place;
      if (Math.min(x, y, sheet.widthMm - x, sheet.heightMm - y) < dabMm) return false;
      const nearest = edges.nearest(place, place, dabMm);
      return nearest === undefined || nearest.distance >= dabMm;
    },
  };
}

/** The place nearest to a tongue's tip, by the way through the film and no further than so many mm, where a dab fits. */
function alongFilm(tip: Point, mostMm: number, film: Film): Point[] {
  const { width, data } = film.bitmap;
  const first = film.at(tip);
  if (first < 0) return [];
  const seen = new Set([first]);
  const queue = [first];
  for (const pixel of queue) {
    const place = film.placeOf(pixel);
    if (film.fits(place)) return [place];
    const { x, y } = place;
    if (Math.hypot(x - tip.x, y - tip.y) > mostMm) return [];
    for (const next of [pixel - 1, pixel + 1, pixel - width, pixel + width]) {
      if (next < 0 || next >= data.length || data[next] === 1 || seen.has(next)) continue;
      seen.add(next);
      queue.push(next);
    }
  }
  return [];
}

function onFolds({ outline, copies, kind }: FoldPattern, film: Film): Point[] {
  if (kind === 'half' || kind === 'to-and-fro') {
    const [left, right, end] = outline;
    const middle = (right.y + end.y) / 2;
    return copies.slice(0, -1).flatMap((copy, i) => {
      const fold = imageOf(copy, { x: i % 2 === 0 ? right.x : left.x, y: middle });
      return nearestOn(fold, { x: 0, y: 1 }, film);
    });
  }
  const [centre] = outline;
  // All folds meet in the middle; where it is open, round it on the first fold and all its images.
  if (film.fits(centre)) return [centre];
  return nearestOn(centre, { x: 0, y: -1 }, film).flatMap((found) =>
    copies.filter((_, k) => k % 2 === 0).map((copy) => imageOf(copy, found)),
  );
}

/** The place on a line that is nearest to one on it and where a dab fits, either way. */
function nearestOn(from: Point, along: Point, film: Film): Point[] {
  const { width, height } = film.bitmap;
  const furthest = Math.max(width, height) / film.pixelsPerMm;
  for (let away = 0; away < furthest; away += STEP_MM) {
    for (const sign of [1, -1]) {
      const place = { x: from.x + sign * away * along.x, y: from.y + sign * away * along.y };
      if (film.fits(place)) return [place];
    }
  }
  return [];
}

function distinct(places: readonly Point[]): Point[] {
  const kept: Point[] = [];
  for (const place of places) {
    if (kept.every(({ x, y }) => Math.hypot(x - place.x, y - place.y) >= APART_MM))
      kept.push(place);
  }
  return kept;
}
