import type { Finding } from '../../src/index.js';
import { isShortfall } from '../../src/settings/words/shortfall.js';
import type { ScreenTold } from './api.js';
import { short } from './labels.js';
import type { PageState } from './page-model.js';

/** What is to be looked at, one after the other: what the check found, and parts of the picture that were lost. */
export interface ToLookAt {
  readonly level: Finding['level'];
  readonly code: Finding['code'] | 'lost-part' | 'page-seen';
  readonly message: string;
  readonly at?: readonly [number, number];
}

/** Notes that are told along with what is worse: she may have wanted something else. */
const ALWAYS_TOLD: ReadonlySet<string> = new Set([
  'unused-setting',
  'unused-edit',
  'first-of-many',
]);

const GRAVITY: Readonly<Record<Finding['level'], number>> = { error: 0, warning: 3, note: 4 };
/** What the verdict itself is about, and then that for which there is help at one click: before other warnings. */
const [OF_VERDICT, WITH_HELP] = [1, 2];
const HELPED: ReadonlySet<string> = new Set(['parts-lost', 'faces-lost']);

const gravityOf = ({ level, code }: Finding): number =>
  isShortfall(code) ? OF_VERDICT : HELPED.has(code) ? WITH_HELP : GRAVITY[level];

const isOfLetters = ({ code }: Finding): boolean => code === 'letters-small';

/** All that is to be looked at of a finished stencil, the worst first; nothing while a control moves. */
export function toLookAt(state: PageState): readonly ToLookAt[] {
  const { screen, sketch, advised, outdated, layers } = state;
  if (!screen || screen !== sketch || outdated) return [];
  // What is told of one stencil is not of its layers, but for the letters that both have.
  if (layers) return [...pageSeen(state), ...screen.findings.filter(isOfLetters)];
  const findings = (advised ?? screen).findings
    .filter(({ level, code }) => level !== 'note' || ALWAYS_TOLD.has(code))
    .toSorted((a, b) => gravityOf(a) - gravityOf(b));
  const errors = findings.filter(({ level }) => level === 'error');
  return [...errors, ...pageSeen(state), ...findings.slice(errors.length), ...lostParts(screen)];
}

/** A page on a table, as long as it is not laid flat. */
function pageSeen({ pageSeen: seen, picture, history }: PageState): ToLookAt[] {
  if (seen === undefined || seen.of !== picture?.id || history.now.page !== undefined) return [];
  const message =
    'A page lies in your picture. Laid flat, the table round it and the edge of the paper go.';
  return [{ level: 'note', code: 'page-seen', message }];
}

function lostParts({ lost }: ScreenTold): ToLookAt[] {
  return lost.map(({ at, areaMm2, fate }) => ({
    level: 'note',
    code: 'lost-part',
    message:
      fate === 'dropped'
        ? `A part of ${short(Math.round(areaMm2 * 10) / 10)} mm² was too small to cut and is left out. With Parts you can keep it.`
        : `A part of ${short(Math.round(areaMm2 * 10) / 10)} mm² runs together with another one. A larger card would part them.`,
    at,
  }));
}
