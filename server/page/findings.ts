import type { Finding } from '../../src/index.js';
import type { ScreenTold } from './api.js';
import { short } from './words.js';
import type { State } from './work.js';

/** What is to be looked at, one after the other: what the check found, and parts of the picture that were lost. */
export interface ToLookAt {
  readonly level: Finding['level'];
  readonly code: Finding['code'] | 'lost-part';
  readonly message: string;
  readonly at?: readonly [number, number];
}

/** Notes that are told along with what is worse: she may have wanted something else. */
const ALWAYS_TOLD: ReadonlySet<string> = new Set([
  'unused-setting',
  'unused-edit',
  'first-of-many',
]);

const GRAVITY: Readonly<Record<Finding['level'], number>> = { error: 0, warning: 2, note: 3 };
/** For which there is help at one click: before other warnings. */
const HELPED: ReadonlySet<string> = new Set(['parts-lost', 'faces-lost']);

const gravityOf = ({ level, code }: Finding): number => (HELPED.has(code) ? 1 : GRAVITY[level]);

/** All that is to be looked at of a finished stencil, the worst first; nothing while a control moves. */
export function toLookAt({ screen, sketch, advised, outdated }: State): readonly ToLookAt[] {
  if (!screen || screen !== sketch || outdated) return [];
  const findings = (advised ?? screen).findings
    .filter(({ level, code }) => level !== 'note' || ALWAYS_TOLD.has(code))
    .toSorted((a, b) => gravityOf(a) - gravityOf(b));
  return [...findings, ...lostParts(screen)];
}

function lostParts({ lost }: ScreenTold): ToLookAt[] {
  return lost.map(({ at, areaMm2, fate }) => ({
    level: 'note',
    code: 'lost-part',
    message:
      fate === 'dropped'
        ? `A part of ${short(Math.round(areaMm2 * 10) / 10)} mm² was too small to cut and is left out. With Regions you can keep it.`
        : `A part of ${short(Math.round(areaMm2 * 10) / 10)} mm² runs together with another one. A larger card would part them.`,
    at,
  }));
}
