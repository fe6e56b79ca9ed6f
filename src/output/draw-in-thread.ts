import { Worker } from 'node:worker_threads';
import { drawOutputs, type Draw, type Files, type DrawnOutput } from './outputs.js';
import type { DrawingReply, Question } from './drawing-thread.js';

/** A thread that draws sheets while the caller goes on with something else. */
export interface DrawingThread {
  readonly draw: Draw;
  /** Starts the thread and loads what it needs, ahead of the first question. */
  warm(): void;
  /** Ends the thread. */
  close(): Promise<void>;
}

/** Node.js starts a thread from JavaScript only: where the sources themselves run, as in tests, there is none. */
const RUNS_FROM_SOURCES = import.meta.url.endsWith('.ts');

const inThisThread: DrawingThread = {
  draw: drawOutputs,
  warm: () => undefined,
  close: () => Promise.resolve(),
};

/**
 * Prepares a thread that draws sheets, one question after another. It starts when it is first needed, and does not keep
 * the program alive while it has nothing to do.
 *
 * @param sheets what it is going to be asked for, to be loaded ahead
 */
export function prepareDrawing(sheets: readonly DrawnOutput[]): DrawingThread {
  if (RUNS_FROM_SOURCES) return inThisThread;
  let thread: Thread | undefined;
  let last: Promise<unknown> = Promise.resolve();
  return {
    draw: (input, wanted) => {
      const { worker, ended } = (thread ??= startThread(sheets));
      const answer = last.then(() => ask(worker, ended, { input, sheets: wanted }));
      last = answer.catch(() => undefined);
      return answer;
    },
    warm: () => {
      thread ??= startThread(sheets);
    },
    close: async () => {
      await thread?.worker.terminate();
    },
  };
}

interface Thread {
  readonly worker: Worker;
  /** Rejects when the thread ends. */
  readonly ended: Promise<never>;
}

function startThread(sheets: readonly DrawnOutput[]): Thread {
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
  return { worker, ended };
}

/** Sends a question to the thread and waits for its answer, or for its end. */
async function ask(worker: Worker, ended: Promise<never>, question: Question): Promise<Files> {
  worker.ref();
  try {
    const answered = new Promise<DrawingReply>((resolve) => worker.once('message', resolve));
    worker.postMessage(question);
    const answer = await Promise.race([answered, ended]);
    if ('failure' in answer) throw answer.failure;
    return answer.files;
  } finally {
    worker.unref();
  }
}
