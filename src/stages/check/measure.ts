import type { Sheet } from '../../settings/card.js';
import { halfCoveredSheet } from '../../geometry/coverage.js';
import { innerCorners } from '../../geometry/inner-corners.js';
import { registerMarks } from '../../geometry/register-marks.js';
import { countDifferent } from '../../raster/count.js';
import { findRegions } from '../../raster/labels.js';
import { findTongues } from '../../raster/tongues.js';
import type { Bridged } from '../bridge/bridge.js';
import { necksOf, rootOf, type CheckSettings, type Redrawn } from './drawn.js';
import { droppedByRemoval, looseIslands, weakHolds } from './film-widths.js';
import type { Finding } from './finding.js';
import { linesTold } from './lines.js';
import { detailLost, leftOut, lightPartsTold, littleKept, partsLost } from './lost.js';
import { inWordsOf } from './of-a-mask.js';
import {
  inMargin,
  measureOpening,
  narrowOpenings,
  smallOpenings,
  type OpeningSize,
} from './openings.js';
import { tightTurns } from './turns.js';
import { unusedBridgeEdits, unusedRegionEdits } from './unused-edits.js';
import type { KeptLikeness } from '../likeness/likeness.js';
import type { Survival } from '../survival/survival.js';
import type { Tone } from '../tone/tone.js';
import type { Widened } from '../widen/widen.js';

/** A stencil measured against the promises. */
export interface Checked {
  readonly findings: readonly Finding[];
  /** Share of the card's area, 0 to 1, that the print changes against the tone picture. */
  readonly fidelity: number;
  /** One an opening, in the order of the openings; the length is that of all its outlines. */
  readonly openings: readonly OpeningSize[];
  /**
   * Where the film may give way, in mm: strips under the limit, the tips of tongues that nothing ties, and sharp corners
   * of openings, where it tears.
   */
  readonly weakPlaces: readonly WeakPlace[];
}

interface WeakPlace {
  readonly kind: 'thin-hold' | 'tongue' | 'sharp-corner';
  readonly at: readonly [number, number];
}

/** What the stages before made: what was asked for, what was left out on the way, and what came of it. */
interface StagesSoFar {
  readonly tone: Pick<Tone, 'bitmap'>;
  readonly widened: Omit<Widened, 'bitmap'>;
  readonly bridged: Bridged;
  /** What became of the tone's parts; null where nobody counted. */
  readonly survived: Survival | null;
  /** How like the picture the print is; null or left out where nobody compared. */
  readonly likeness?: Pick<KeptLikeness, 'ofPicture'> | null;
}

/**
 * Draws the finished stencil again and tests the promises on the drawing.
 *
 * By another road than the one that made it: the stages before count pixel centres inside the flattened outlines,
 * this one takes exact covered areas of the final curves, and measures widths on those curves themselves.
 */
export function measure(
  { tone, widened, bridged, survived, likeness }: StagesSoFar,
  sheet: Sheet,
  pixelsPerMm: number,
  job: CheckSettings,
): Checked {
  const bitmap = halfCoveredSheet(bridged.openings, sheet, pixelsPerMm);
  const film = findRegions(bitmap, 0, 4);
  const root = rootOf(film);
  const shapes = bridged.openings;
  const necks = necksOf(shapes, sheet, job);
  const drawn: Redrawn = { bitmap, film, necks, root, pixelsPerMm, job, shapes, sheet };
  const openings = bridged.openings.map(measureOpening);
  const changed = countDifferent(bitmap, tone.bitmap) - marksArea(sheet, pixelsPerMm, job);
  const thin = weakHolds(drawn);
  const fidelity = Math.max(0, changed) / bitmap.data.length;
  const findings = [
    ...looseIslands(drawn),
    ...droppedByRemoval(drawn, bridged),
    ...thin,
    ...narrowOpenings(drawn),
    ...smallOpenings(drawn, openings),
    ...tightTurns(drawn),
    ...inMargin(drawn),
    ...littleKept(likeness?.ofPicture),
    ...detailLost(fidelity),
    ...partsLost(survived),
    ...unusedBridgeEdits(bridged, job),
    ...unusedRegionEdits(widened),
    ...linesTold(widened),
    ...lightPartsTold(widened),
    ...leftOut(widened, bridged),
  ];
  return {
    findings: findings.map((finding) => inWordsOf(job.as, finding)),
    fidelity,
    openings,
    weakPlaces: [
      ...thin.flatMap(({ at }): WeakPlace[] => (at ? [{ kind: 'thin-hold', at }] : [])),
      ...findTongues(bitmap, pixelsPerMm, job.tongueFrom).map(({ tip }): WeakPlace => ({
        kind: 'tongue',
        at: tip,
      })),
      ...innerCorners(bridged.openings).map(({ x, y }): WeakPlace => ({
        kind: 'sharp-corner',
        at: [x, y],
      })),
    ],
  };
}

/** What register marks add to the print is no change of it, in px. */
function marksArea(sheet: Sheet, pixelsPerMm: number, job: CheckSettings): number {
  const areas = registerMarks(sheet, job).map((shape) => measureOpening(shape).areaMm2);
  return areas.reduce((sum, area) => sum + area, 0) * pixelsPerMm ** 2;
}
