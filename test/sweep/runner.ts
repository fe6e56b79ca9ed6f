import { completeJob, makeStencil, Problem } from '../../src/index.js';
import { answerAll } from '../support/watched.js';
import type { Given } from './cases.js';

/** What the process is asked: to make a stencil of a picture. */
export interface Question {
  readonly picture: string;
  readonly settings: Given;
}

/** What came of it: a stencil, a sentence that says why there is none, or a fault of ours. */
export interface Answer {
  readonly outcome: 'good' | 'not good' | 'refused' | 'fault';
  /** The sentence, or the fault. */
  readonly says?: string;
  /** The codes of the errors among what the check found. */
  readonly errors: readonly string[];
}

answerAll(({ picture, settings }: Question) =>
  made(picture, settings).catch((error: unknown): Answer => {
    const says = error instanceof Error ? (error.stack ?? error.message) : String(error);
    return { outcome: 'fault', says, errors: [] };
  }),
);

async function made(picture: string, settings: Given): Promise<Answer> {
  try {
    const { run, good } = await makeStencil(picture, completeJob(settings), { name: 'sweep' });
    const errors = run.values.check.findings.filter(({ level }) => level === 'error');
    return { outcome: good ? 'good' : 'not good', errors: errors.map(({ code }) => code) };
  } catch (error) {
    if (!(error instanceof Problem)) throw error;
    const { what, where, remedy } = error;
    if ([what, where, remedy].some((part) => part.trim() === '')) {
      throw new Error(`A sentence is missing in: ${error.message}`, { cause: error });
    }
    return { outcome: 'refused', says: `${what}. ${remedy}.`, errors: [] };
  }
}
