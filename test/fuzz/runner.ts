import { answerAll } from '../support/watched.js';
import { openCases, type FuzzKind, type Outcome } from './cases.js';

/** What the process is asked: a case. */
export interface Question {
  readonly kind: FuzzKind;
  readonly number: number;
}

/** What it answers: what came of it, or the fault; and its peak memory so far, in MiB. */
export interface Answer {
  readonly outcome: Outcome | 'fault';
  readonly fault?: string;
  readonly peakMib: number;
}

const cases = await openCases();

answerAll(async ({ kind, number }: Question): Promise<Answer> => {
  const peakMib = (): number => process.resourceUsage().maxRSS / 1024;
  try {
    return { outcome: await cases[kind](number), peakMib: peakMib() };
  } catch (error) {
    const fault = error instanceof Error ? (error.stack ?? error.message) : String(error);
    return { outcome: 'fault', fault, peakMib: peakMib() };
  }
});
