import type { Sheet } from '../../settings/card.js';
export { isSheetEdge } from '../../geometry/outline.js';
import { pixelCentre } from '../../geometry/unfold-bitmap.js';
import { findNecks, WIDTH_TOLERANCE_MM, type Neck } from '../../geometry/necks.js';
import type { Outline, Shape } from '../../geometry/shape.js';
import type { Job } from '../../settings/job.js';
import { widthLimitsOf } from '../../settings/width-limits.js';
import { regionOf, type RegionRuns } from '../../raster/labels.js';
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
> &
  Partial<Pick<Job, 'fold'>>;

/** A pixel or two that the drawing parts from the tip of a sharp corner are no piece, in mm² and, of a coarse one, px. */
const CORNER_TIP_MM2 = 0.1;
const CORNER_TIP_PX = 2;

/** Whether a region of so many px is no piece. */
export const isCrumb = (areaPx: number, pixelsPerMm: number): boolean =>
  areaPx <= CORNER_TIP_PX || areaPx < CORNER_TIP_MM2 * pixelsPerMm * pixelsPerMm;

/** One look at the finished stencil: its film and openings drawn anew, and the numbers to measure them by. */
export interface Redrawn {
  readonly bitmap: Bitmap;
  readonly film: RegionRuns;
  readonly necks: readonly Neck[];
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

/** Where a finding tells a pixel, in mm. */
export function pixelTold(
  pixel: number,
  { bitmap, pixelsPerMm }: Redrawn,
): readonly [number, number] {
  const { x, y } = pixelCentre(pixel, bitmap.width, pixelsPerMm);
  return [x, y];
}

export function neckMiddle({ from, to }: Neck): readonly [number, number] {
  return [(from.x + to.x) / 2, (from.y + to.y) / 2];
}

export const saidWidth = ({ widthMm }: Neck): string => `${widthMm.toFixed(2)} mm`;

/** The places at which film or an opening is narrower than the job allows. */
export function necksOf(shapes: readonly Shape[], sheet: Sheet, job: CheckSettings): Neck[] {
  const limits = widthLimitsOf(job);
  return findNecks(shapes, sheet, limits).filter(
    ({ region, widthMm }) => widthMm < limits[region] - WIDTH_TOLERANCE_MM,
  );
}
