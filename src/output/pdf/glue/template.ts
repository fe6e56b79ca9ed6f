import type { Sheet } from '../../../settings/card.js';
import type { Job } from '../../../settings/job.js';
import type { DrawnStrokes, GlueStroke } from '../../../stages/strokes/strokes.js';
import type { Broken } from '../../broken.js';
import { mirroredBroken, printTrueSize } from '../true-size.js';
import { printable, sizeInWords } from '../wording.js';
import { GLUE_MARKS, glueGuide } from './guide.js';

/** What a template for glue shows, and for whom. */
export interface GlueTemplate {
  readonly name: string;
  readonly says?: string;
  readonly strokes: DrawnStrokes;
  readonly sheet: Sheet;
  readonly job: Pick<Job, 'paper' | 'margin' | 'tileOverlap' | 'beadWidth' | 'glueUse'>;
  readonly locale: string;
  readonly broken?: Broken;
}

/** The true-size print to lay under glass or a clear heat-proof sheet: mirrored where the glue is to print with. */
export async function glueTemplatePdf(template: GlueTemplate): Promise<Uint8Array> {
  return guidePdf(template, template.job.glueUse === 'print-with');
}

/** The same the other way round. */
export async function mirroredGluePdf(template: GlueTemplate): Promise<Uint8Array> {
  return guidePdf(template, template.job.glueUse !== 'print-with');
}

function guidePdf(template: GlueTemplate, isMirrored: boolean): Promise<Uint8Array> {
  const { name, says = '', strokes, sheet, job } = template;
  const how = isMirrored ? ', mirrored: glue to print with' : ', glue to spray round';
  const shown = isMirrored ? mirroredStrokes(strokes.strokes, sheet) : strokes.strokes;
  const notes = {
    name: `${printable(name, 'Glue')}${says}${how}`,
    size: sizeInWords(sheet),
    marks: GLUE_MARKS,
  };
  const guide = glueGuide(shown, job.beadWidth, sheet);
  const seen = isMirrored ? mirroredBroken(template, sheet) : {};
  return printTrueSize({ ...template, ...seen, title: `${name}${says}${how}`, notes }, guide);
}

/** Strokes as they are seen from the back of a sheet. */
export function mirroredStrokes(
  strokes: readonly GlueStroke[],
  { widthMm }: Sheet,
): readonly GlueStroke[] {
  return strokes.map((stroke) => ({
    ...stroke,
    x: stroke.x.map((x) => widthMm - x),
    curves: stroke.curves.map((curve) => curve.map((v, i) => (i % 2 === 0 ? widthMm - v : v))),
  }));
}
