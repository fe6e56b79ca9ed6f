import type { Sheet } from '../../settings/card.js';
import { mirroredShape } from '../../geometry/mirror.js';
import type { Point, Shape } from '../../geometry/shape.js';
import type { Job } from '../../settings/job.js';
import type { CutPlan } from '../../stages/plan/plan.js';
import { guideOf, MARKS } from './guide.js';
import type { Broken } from '../broken.js';
import { mirroredBroken, printTrueSize } from './true-size.js';
import { printable, sizeInWords } from './wording.js';

/** What the template shows, and for whom. */
export interface Template {
  readonly name: string;
  /** What stands after it. */
  readonly says?: string;
  readonly openings: readonly Shape[];
  readonly plan: CutPlan;
  readonly sheet: Sheet;
  readonly job: Pick<Job, 'paper' | 'margin' | 'tileOverlap'>;
  /** Chooses the paper where the job does not: "en-US", "de_DE.UTF-8". */
  readonly locale: string;
  /** Which promises it does not keep. */
  readonly broken?: Broken;
}

/**
 * The true-size print to lay under clear film and follow: its pieces numbered in the order of cutting, with bars to
 * check its scale by. The same template gives the same bytes: no date is in it.
 */
export async function templatePdf(template: Template): Promise<Uint8Array> {
  const { name, says = '', openings, plan, sheet } = template;
  const heading = `${printable(name, 'Stencil')}${says}`;
  const notes = { name: heading, size: sizeInWords(sheet), marks: MARKS };
  const title = `${name}${says}`;
  return printTrueSize({ ...template, title, notes }, guideOf(openings, plan, sheet));
}

/** The template as seen through the film from its back, to be drawn there. */
export async function mirroredPdf(template: Template): Promise<Uint8Array> {
  const { name, says = '', openings, plan, sheet } = template;
  const { widthMm } = sheet;
  const title = `${name}${says}, mirrored`;
  const notes = {
    name: `${printable(name, 'Stencil')}${says}, mirrored`,
    size: `${sizeInWords(sheet)}, for the film's back`,
    marks: MARKS,
  };
  const shapes = openings.map((shape) => mirroredShape(shape, widthMm));
  const guide = guideOf(shapes, mirroredPlan(plan, widthMm), sheet);
  return printTrueSize({ ...template, ...mirroredBroken(template, sheet), title, notes }, guide);
}

function mirroredPlan(plan: CutPlan, widthMm: number): CutPlan {
  const mirror = ({ x, y }: Point): Point => ({ x: widthMm - x, y });
  return {
    ...plan,
    pieces: plan.pieces.map((piece) => ({
      ...piece,
      start: mirror(piece.start),
      middle: mirror(piece.middle),
      // From end to end the other way, so that the piece still lies on the same hand.
      runs: piece.runs.map(({ from, to, lengthMm }) => ({
        from: mirror(to),
        to: mirror(from),
        lengthMm,
      })),
    })),
  };
}
