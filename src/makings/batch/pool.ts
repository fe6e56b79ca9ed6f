import { availableParallelism } from 'node:os';
import { openGate, shutGate, type Gate } from './gate.js';
import { makeOne, type BatchItem } from './one.js';
import type { SummaryRow } from '../../output/report/row.js';

/** What makes many stencils at once. */
export interface Pool {
  /** What becomes of a picture; undefined when the pool was stopped before its stencil was written. */
  run(item: BatchItem): Promise<SummaryRow | undefined>;
  /** Begins nothing more, lets what is being written be finished, and gives up the rest. */
  stop(): Promise<void>;
  close(): Promise<void>;
}

/** Node.js starts a thread from JavaScript only: where the sources themselves run, as in tests, there is none. */
const RUNS_FROM_SOURCES = import.meta.url.endsWith('.ts');

/**
 * Opens a pool.
 *
 * @param threads how many stencils are made at the same time; as many as the machine has cores unless set
 */
export async function openPool(threads = availableParallelism()): Promise<Pool> {
  const gate = openGate();
  return RUNS_FROM_SOURCES ? inThisThread(gate) : inThreads(gate, threads);
}

async function inThreads(gate: Gate, threads: number): Promise<Pool> {
  const { Piscina } = await import('piscina');
  const pool = new Piscina<BatchItem, SummaryRow | undefined>({
    filename: new URL('./thread.js', import.meta.url).href,
    name: 'makeInThread',
    minThreads: threads,
    maxThreads: threads,
    workerData: gate,
  });
  let giveUp: (given: undefined) => void;
  let isStopped = false;
  const stopped = new Promise<undefined>((resolve) => (giveUp = resolve));
  return {
    run: async (item) => {
      try {
        return await Promise.race([pool.run(item), stopped]);
      } catch (error) {
        if (isStopped) return undefined;
        throw error;
      }
    },
    stop: async () => {
      await shutGate(gate);
      isStopped = true;
      // A thread ends when it next can, which may take it a while; it can't write any more.
      giveUp(undefined);
    },
    close: async () => {
      const ended = pool.destroy();
      if (!isStopped) await ended;
    },
  };
}

/** One picture after another. */
function inThisThread(gate: Gate): Pool {
  let last: Promise<unknown> = Promise.resolve();
  let stopped = false;
  return {
    run: (item) => {
      const row = last.then(() => (stopped ? undefined : makeOne(item, gate)));
      last = row;
      return row;
    },
    stop: async () => {
      stopped = true;
      await shutGate(gate);
    },
    close: () => Promise.resolve(),
  };
}
