import { flatten } from '../../geometry/flatten.js';
import { rasterise } from '../../geometry/rasterise.js';
import { perimeter } from '../../geometry/perimeter.js';
import { signedArea } from '../../geometry/signed-area.js';
import type { Outline, Shape } from '../../geometry/shape.js';
import type { Job } from '../../settings/job.js';
import { squaredDistance } from '../../raster/distance.js';
import { coreRadiusMm } from './eroded-film.js';

/** Leaves out the openings that are too small to pop out, or have no place as wide as an opening must be. */
export function withoutUncuttable(
  openings: readonly Shape[],
  pixelsPerMm: number,
  limits: Pick<Job, 'smallestOpening' | 'narrowestOpening'>,
): Shape[] {
  return openings.filter((shape) => isCuttable(shape, pixelsPerMm, limits));
}

function isCuttable(
  shape: Shape,
  pixelsPerMm: number,
  { smallestOpening, narrowestOpening }: Pick<Job, 'smallestOpening' | 'narrowestOpening'>,
): boolean {
  let area = 0;
  let length = 0;
  for (const outline of [shape.outer, ...shape.holes]) {
    const polygon = flatten(outline);
    area += Math.abs(signedArea(polygon)) * (outline === shape.outer ? 1 : -1);
    length += perimeter(polygon);
  }
  if (area < smallestOpening) return false;
  const radius = coreRadiusMm(narrowestOpening);
  // No region's area is more than its largest inner radius times the length of its edge, so most pass at a glance.
  return area > radius * length || widestRadiusMm(shape, pixelsPerMm) > radius;
}

/** The radius of the largest disk in an opening, by the distance transform of the opening alone. */
function widestRadiusMm({ outer, holes }: Shape, pixelsPerMm: number): number {
  let [minX, minY, maxX, maxY] = [Infinity, Infinity, -Infinity, -Infinity];
  for (let i = 0; i < outer.coords.length; i += 2) {
    minX = Math.min(minX, outer.coords[i]);
    minY = Math.min(minY, outer.coords[i + 1]);
    maxX = Math.max(maxX, outer.coords[i]);
    maxY = Math.max(maxY, outer.coords[i + 1]);
  }
  // Whole pixels, so that the bitmap falls on the sheet's own grid, and one of film all round.
  const left = Math.floor(minX * pixelsPerMm) - 1;
  const top = Math.floor(minY * pixelsPerMm) - 1;
  const moved = (outline: Outline): Outline => ({
    ...outline,
    coords: outline.coords.map((value, i) => value - (i % 2 === 0 ? left : top) / pixelsPerMm),
  });
  const alone = rasterise(
    [{ outer: moved(outer), holes: holes.map(moved) }],
    Math.ceil(maxX * pixelsPerMm) + 1 - left,
    Math.ceil(maxY * pixelsPerMm) + 1 - top,
    pixelsPerMm,
  );
  let most = 0;
  for (const squared of squaredDistance(alone, 0)) most = Math.max(most, squared);
  return Math.sqrt(most) / pixelsPerMm;
}
