import type { Sheet } from '../../card.js';
import type { Outline, Shape } from '../../geometry/shape.js';
import type { Job } from '../../job.js';
import { furtherThan } from '../../raster/distance.js';
import { regionOf, type RegionRuns } from '../../raster/labels.js';
import { nearestPair } from '../../raster/nearest-pair.js';
import type { Bitmap } from '../../raster/raster.js';

export type CheckSettings = Pick<
  Job,
  | 'as'
  | 'registerMarks'
  | 'margin'
  | 'narrowestStrip'
  | 'narrowestOpening'
  | 'smallestOpening'
  | 'tightestTurn'
  | 'tongueFrom'
  | 'bridgeEdits'
  | 'bridgeFree'
>;

/** A pixel or two that the drawing parts from the tip of a sharp corner are no piece, in mm². */
export const CRUMB_MM2 = 0.1;

/** What is left of a bump beyond a slight waist is no part of its own, in mm². */
export const BUMP_MM2 = 0.25;

/** One look at the finished stencil: its film and openings drawn anew, and the numbers to measure them by. */
export interface Drawn {
  readonly bitmap: Bitmap;
  readonly film: RegionRuns;
  /** The region of film that all must belong to. */
  readonly root: number;
  readonly pixelsPerMm: number;
  readonly job: CheckSettings;
  readonly shapes: readonly Shape[];
  readonly sheet: Sheet;
}

/** The film along the sheet's edge; round a mask there is none, and the mask is the largest. */
export function rootOf(regions: RegionRuns): number {
  const { areas } = regions;
  const outside = regionOf(regions, 0);
  if (outside !== 0) return outside;
  let root = 0;
  for (let label = 1; label < areas.length; label++) {
    if (root === 0 || areas[label] > areas[root]) root = label;
  }
  return root;
}

export const outlinesOf = ({ outer, holes }: Shape): readonly Outline[] => [outer, ...holes];

/** Whether an outline is the sheet's edge: all round a mask is cut away. */
export function isEdge({ coords, straight }: Outline, { widthMm, heightMm }: Sheet): boolean {
  const [x0, y0, x1, y1] = [coords[0], coords[1], coords[12], coords[13]];
  return straight.length === 4 && x0 === 0 && y0 === 0 && x1 === widthMm && y1 === heightMm;
}

export function placeOf(i: number, { bitmap, pixelsPerMm }: Drawn): readonly [number, number] {
  const { width } = bitmap;
  return [((i % width) + 0.5) / pixelsPerMm, (Math.floor(i / width) + 0.5) / pixelsPerMm];
}

/** A strip or an opening is tried with just under half its width: this much less, in mm. */
const JUST_UNDER_MM = 0.1;

/** The pixels of one value that a disk of just under half of `widthMm` round them does not leave. */
export function eroded(bitmap: Bitmap, value: 0 | 1, widthMm: number, pixelsPerMm: number): Bitmap {
  const radius = (widthMm / 2 - JUST_UNDER_MM) * pixelsPerMm;
  const [data] = furtherThan(bitmap, value === 1 ? 0 : 1, [radius * radius]);
  return { ...bitmap, data };
}

/** Of one region's pixels the nearest to another region: where they all but touch. */
export function nearestOf(
  regions: RegionRuns,
  one: number,
  other: number,
  { width }: Bitmap,
): number {
  const [{ x, y }] = nearestPair(regions, width, one, [other]);
  return y * width + x;
}
