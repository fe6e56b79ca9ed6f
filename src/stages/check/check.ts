import type { Sheet } from '../../settings/card.js';
import type { Advice } from '../advice/advice.js';
import type { Survival } from '../survival/survival.js';
import { partsLost } from './lost.js';
import type { Checked } from './measure.js';

export type { Finding } from './finding.js';
export type { Checked } from './measure.js';

/** What was measured, with what would help against the loss of parts told along with it. */
export function check(
  measured: Checked,
  survived: Survival | null,
  advice: Advice | null,
  sheet: Sheet,
): Checked {
  if (!survived || !advice) return measured;
  const findings = measured.findings.flatMap((finding) =>
    finding.code === 'parts-lost' ? partsLost(survived, sheet, advice) : [finding],
  );
  return { ...measured, findings };
}
