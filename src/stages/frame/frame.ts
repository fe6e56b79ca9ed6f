import type { Sheet } from '../../settings/card.js';
import { rectangle } from '../../geometry/basic-outlines.js';
import { flatten } from '../../geometry/flatten.js';
import { turnedBack } from '../../geometry/outline.js';
import { signedArea } from '../../geometry/signed-area.js';
import type { Outline, Shape } from '../../geometry/shape.js';
import type { Job } from '../../settings/job.js';
import type { RegisterLimits } from '../../settings/register-marks.js';
import type { Bridged } from '../bridge/bridge.js';
import { withRegisterMarks } from './register-marks.js';

/** The openings as they are cut in the end, with what is cut round the design. */
export interface FramedDesign extends Bridged {
  /** What the tip follows: for a stencil its openings; for a mask its holes, and the mask itself as a last piece. */
  readonly cuts: readonly Shape[];
}

const ways: Readonly<Record<Job['as'], (bridged: Bridged, sheet: Sheet) => FramedDesign>> = {
  stencil: (bridged) => ({ ...bridged, cuts: bridged.openings }),
  mask,
  'glue-line': mask,
};

/**
 * What surrounds the design: register marks are cut into a stencil's frame where they are wanted; a mask loses its
 * frame, so that from then on the mask alone is film, and all round it, up to the sheet's edge, is opening.
 */
export function frame(
  bridged: Bridged,
  sheet: Sheet,
  job: Pick<Job, 'as'> & RegisterLimits,
): FramedDesign {
  return ways[job.as](withRegisterMarks(bridged, sheet, job), sheet);
}

function mask(bridged: Bridged, sheet: Sheet): FramedDesign {
  const around = largest(bridged.openings);
  // Where nothing lies in the moat, nothing of the mask is left.
  if (!around || around.holes.length === 0) return { ...bridged, cuts: [] };
  const holes = bridged.openings.filter((opening) => opening !== around);
  const edge = rectangle(0, 0, sheet.widthMm, sheet.heightMm);
  return {
    ...bridged,
    openings: [{ outer: edge, holes: around.holes }, ...holes],
    // So far the frame was the piece that islands are loose from; of a mask one of the islands is the piece that is kept.
    islands: Math.max(0, bridged.islands - 1),
    cuts: [...holes, ...around.holes.map((part) => ({ outer: turnedBack(part), holes: [] }))],
  };
}

/** The opening whose outer outline encloses most: the moat, which lies round everything. */
function largest(openings: readonly Shape[]): Shape | undefined {
  let found: { readonly opening: Shape; readonly area: number } | undefined;
  for (const opening of openings) {
    const area = enclosed(opening.outer);
    if (!found || area > found.area) found = { opening, area };
  }
  return found?.opening;
}

function enclosed(outline: Outline): number {
  return Math.abs(signedArea(flatten(outline)));
}
