import type { Sheet } from '../../settings/card.js';
import type { Job } from '../../settings/job.js';
import type { Advice } from '../advice/advice.js';
import type { FacesKept } from '../features/features.js';
import type { Subject } from '../subject/subject-mask.js';
import type { Survival } from '../survival/survival.js';
import type { StrokeAdvice } from '../stroke-advice/stroke-advice.js';
import { facesLost } from './faces-lost.js';
import { partsLost, subjectLost } from './lost.js';
import type { Checked } from './measure.js';
import { withStrokeAdvice } from './strokes.js';

export type { Finding } from './finding.js';
export type { Checked } from './measure.js';

/** What became of what a person looks for: parts of the picture, and faces. */
interface CheckInput {
  readonly survived: Survival | null;
  readonly advice: Advice | null;
  readonly faces: FacesKept | null;
  /** Left out where nobody told a subject apart. */
  readonly subject?: Pick<Subject, 'isMostlyLost'>;
  /** What is to be told of looking for faces. */
  readonly facesWhy: string;
  /** What brings a drawing in glue under as many strokes as a person would draw. */
  readonly strokeAdvice: StrokeAdvice | null;
}

/** What was measured, with what would help against the loss of parts and of faces told along with it. */
export function check(
  measured: Checked,
  { survived, advice, faces, facesWhy, subject = {}, strokeAdvice }: CheckInput,
  sheet: Sheet,
  job: Pick<Job, 'card' | 'repeat' | 'fold' | 'tool'>,
): Checked {
  const findings = measured.findings.flatMap((finding) =>
    survived && advice && finding.code === 'parts-lost'
      ? partsLost(survived, { advice, sheet, card: job.card })
      : finding.code === 'many-strokes'
        ? [withStrokeAdvice(finding, strokeAdvice)]
        : [finding],
  );
  return {
    ...measured,
    findings: [...subjectLost(subject), ...facesLost(faces, facesWhy, sheet, job), ...findings],
  };
}
