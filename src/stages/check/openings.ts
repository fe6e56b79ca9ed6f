import { flatten } from '../../geometry/flatten.js';
import { perimeter } from '../../geometry/perimeter.js';
import { withoutRegisterMarks } from '../../geometry/register-marks.js';
import { signedArea } from '../../geometry/signed-area.js';
import type { Shape } from '../../geometry/shape.js';
import { isSheetEdge, neckMiddle, outlinesOf, saidWidth, type Redrawn } from './drawn.js';
import type { Finding } from './finding.js';

/** The area of an opening, and the length of all its outlines. */
export interface OpeningSize {
  readonly areaMm2: number;
  readonly lengthMm: number;
}

/** How far a polygon may lie off its curve, in mm: too fine to change an area or a length that anyone reads. */
const TOLERANCE_MM = 0.005;

export function measureOpening(shape: Shape): OpeningSize {
  let areaMm2 = 0;
  let lengthMm = 0;
  for (const [k, outline] of outlinesOf(shape).entries()) {
    const polygon = flatten(outline, TOLERANCE_MM);
    areaMm2 += (k === 0 ? 1 : -1) * Math.abs(signedArea(polygon));
    lengthMm += perimeter(polygon);
  }
  return { areaMm2, lengthMm };
}

/** Promise 3, width: the tip can clear each opening in one go, and nowhere has to squeeze through a neck. */
export function narrowOpenings({ necks, job }: Redrawn): Finding[] {
  return necks
    .filter(({ region }) => region === 'opening')
    .map((neck) => {
      const narrow = `narrower than ${job.narrowestOpening} mm`;
      const message = neck.allOver
        ? `An opening is ${narrow} all over: ${saidWidth(neck)} at its widest.`
        : `An opening has a neck of ${saidWidth(neck)}, ${narrow}.`;
      return { level: 'error', code: 'narrow-opening', message, at: neckMiddle(neck) };
    });
}

/**
 * The share of the least area that is let through: what easing may take from an opening that is just large enough is
 * not felt.
 */
const AREA_SLACK = 0.98;

/** Promise 3, area: each piece is large enough to pop out. */
export function smallOpenings(
  { shapes, job }: Redrawn,
  openings: readonly OpeningSize[],
): Finding[] {
  return openings.flatMap(({ areaMm2 }, k): Finding[] => {
    if (areaMm2 >= AREA_SLACK * job.smallestOpening) return [];
    const { coords } = shapes[k].outer;
    return [
      {
        level: 'error',
        code: 'small-opening',
        message: `An opening of ${areaMm2.toFixed(1)} mm² is smaller than ${job.smallestOpening} mm².`,
        at: [coords[0], coords[1]],
      },
    ];
  });
}

/** What a pixel grid and rounded numbers may add to the margin, in mm. */
const MARGIN_SLACK_MM = 0.05;

/** Promise 4: no opening reaches into the margin, save the register marks, which stand there; and no mask. */
export function inMargin({ shapes, sheet, job }: Redrawn): Finding[] {
  const least = job.margin - MARGIN_SLACK_MM;
  const right = sheet.widthMm - least;
  const bottom = sheet.heightMm - least;
  const reaching = withoutRegisterMarks(shapes, sheet, job).flatMap(({ outer, holes }) =>
    isSheetEdge(outer, sheet) ? holes : [outer],
  );
  return reaching.flatMap((outline): Finding[] => {
    const polygon = flatten(outline);
    for (let i = 0; i < polygon.length; i += 2) {
      const [x, y] = [polygon[i], polygon[i + 1]];
      if (x >= least && y >= least && x <= right && y <= bottom) continue;
      return [
        {
          level: 'error',
          code: 'in-margin',
          message: `An opening reaches into the margin of ${job.margin} mm.`,
          at: [x, y],
        },
      ];
    }
    return [];
  });
}
