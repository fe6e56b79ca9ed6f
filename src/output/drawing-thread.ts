import { parentPort, workerData } from 'node:worker_threads';
import {
  drawOutputs,
  loadOutputs,
  type Files,
  type DrawingInput,
  type DrawnOutput,
} from './outputs.js';

/** What the thread is asked: an order, and which sheets of it. */
export interface Question {
  readonly order: DrawingInput;
  readonly sheets: readonly DrawnOutput[];
}

/** What it answers: the files, or what went wrong. */
export type DrawingReply = { readonly files: Files } | { readonly failure: unknown };

const port = parentPort;
if (port === null) throw new Error('This module runs in a worker thread only');

port.on('message', ({ order, sheets }: Question) => {
  drawOutputs(order, sheets)
    .then((files): DrawingReply => ({ files }))
    .catch((failure: unknown): DrawingReply => ({ failure }))
    .then((answer) => port.postMessage(answer))
    .catch((error: unknown) => {
      throw error;
    });
});

await loadOutputs(workerData as readonly DrawnOutput[]);
