import { parentPort, workerData } from 'node:worker_threads';
import {
  drawOutputs,
  loadOutputs,
  type Files,
  type DrawingInput,
  type DrawnOutput,
} from './outputs.js';

/** What the thread is asked: what outputs are drawn from, and which of them. */
export interface Question {
  readonly input: DrawingInput;
  readonly sheets: readonly DrawnOutput[];
}

/** What it answers: the files, or what went wrong. */
export type DrawingReply = { readonly files: Files } | { readonly failure: unknown };

const port = parentPort;
if (port === null) throw new Error('This module runs in a worker thread only');

port.on('message', ({ input, sheets }: Question) => {
  drawOutputs(input, sheets)
    .then((files): DrawingReply => ({ files }))
    .catch((failure: unknown): DrawingReply => ({ failure }))
    .then((answer) => port.postMessage(answer))
    .catch((error: unknown) => {
      throw error;
    });
});

await loadOutputs(workerData as readonly DrawnOutput[]);
