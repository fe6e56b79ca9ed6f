import { openCases, type FuzzKind } from './cases.js';

/** What the process is asked: a case. */
export interface Question {
  readonly kind: FuzzKind;
  readonly number: number;
}

/** What it answers: what came of it, or the fault; and its peak memory so far, in MiB, and processor time, in s. */
export interface Answer {
  readonly outcome: string;
  readonly fault?: string;
  readonly peakMib: number;
  readonly cpuSeconds: number;
}

const cases = await openCases();

process.on('message', ({ kind, number }: Question) => {
  const before = process.cpuUsage();
  const answer = (outcome: string, fault?: string): void => {
    const { user, system } = process.cpuUsage(before);
    const answer: Answer = {
      outcome,
      ...(fault !== undefined && { fault }),
      peakMib: process.resourceUsage().maxRSS / 1024,
      cpuSeconds: (user + system) / 1e6,
    };
    process.send?.(answer);
  };
  cases[kind](number).then(answer, (error: unknown) => {
    answer('fault', error instanceof Error ? (error.stack ?? error.message) : String(error));
  });
});

process.send?.('ready');
