import { counted } from '../settings/words/counted.js';
import type { Finding } from '../stages/check/check.js';

/** What a print says of a stencil that breaks promises. */
export interface Broken {
  /** A sentence without its full stop. */
  readonly says: string;
  /** Where, in mm on the sheet. */
  readonly at: readonly { readonly x: number; readonly y: number }[];
}

/** Undefined where every promise is kept. */
export function brokenIn(findings: readonly Finding[]): Broken | undefined {
  const errors = findings.filter(({ level }) => level === 'error');
  if (errors.length === 0) return undefined;
  const at = errors.flatMap((finding) =>
    finding.at ? [{ x: finding.at[0], y: finding.at[1] }] : [],
  );
  const [first] = errors[0].message.split(/(?<=[.!?])\s/);
  const others = errors.length === 1 ? '' : ` (and ${counted(errors.length - 1, 'more place')})`;
  const rings = at.length === 0 ? '' : ', where the red rings are';
  return { says: `Look before you begin${rings}: ${first.replace(/[.!?]$/, '')}${others}`, at };
}
