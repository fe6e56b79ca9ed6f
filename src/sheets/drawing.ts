import { Worker } from 'node:worker_threads';
import { drawSheets, type Draw, type Files, type SheetName } from './draw.js';
import type { Answer, Question } from './drawing-thread.js';

/**
 * A thread that draws sheets while the caller goes on with something else. It loads what it needs at once, and does
 * not keep the program alive while it has nothing to do.
 */
export interface Drawing {
  readonly draw: Draw;
  /** Ends the thread. */
  close(): Promise<void>;
}

/** Node.js starts a thread from JavaScript only: where the sources themselves run, as in tests, there is none. */
const RUNS_FROM_SOURCES = import.meta.url.endsWith('.ts');

/**
 * Starts a thread that draws sheets, one order after another.
 *
 * @param sheets what it is going to be asked for, to be loaded ahead
 */
export function startDrawing(sheets: readonly SheetName[]): Drawing {
  if (RUNS_FROM_SOURCES) return { draw: drawSheets, close: () => Promise.resolve() };
  const worker = new Worker(new URL('./drawing-thread.js', import.meta.url), {
    workerData: sheets,
  });
  const ended = new Promise<never>((_, reject) => {
    worker.once('error', reject);
    worker.once('exit', () => reject(new Error('The drawing thread has ended')));
  });
  // Told to whoever asks it for something.
  ended.catch(() => undefined);
  worker.unref();
  let last: Promise<unknown> = Promise.resolve();
  return {
    draw: (order, wanted) => {
      const answer = last.then(() => ask(worker, ended, { order, sheets: wanted }));
      last = answer.catch(() => undefined);
      return answer;
    },
    close: async () => {
      await worker.terminate();
    },
  };
}

/** Sends a question to the thread and waits for its answer, or for its end. */
async function ask(worker: Worker, ended: Promise<never>, question: Question): Promise<Files> {
  worker.ref();
  try {
    const answered = new Promise<Answer>((resolve) => worker.once('message', resolve));
    worker.postMessage(question);
    const answer = await Promise.race([answered, ended]);
    if ('failure' in answer) throw answer.failure;
    return answer.files;
  } finally {
    worker.unref();
  }
}
