import { constants } from 'node:os';
import { Stopped } from '../src/index.js';

/*
 * While a stencil is made nothing is on the disk yet, and this thread computes without looking up, for a minute on a
 * large card. So nothing listens then for what ends a process from outside: the system itself ends it, at once and
 * whatever it is at. Only a work that leaves something half-done listens.
 */
const SIGNALS = ['SIGINT', 'SIGTERM', 'SIGHUP'] as const;
type Signal = (typeof SIGNALS)[number];

/** What is being written has this long to be taken back, so that Ctrl-C ends within a second. */
const PATIENCE_MS = 800;

let stoppables = 0;

/**
 * Does work that is not to be cut short: on Ctrl-C and the like it is asked to stop, and the process ends when it
 * has; at the second time, or when it can't because the disk hangs, at once. What is left half-done then, the next run
 * clears away.
 *
 * @param patienceMs how long it may take to stop
 */
export async function stoppable<T>(
  work: (signal: AbortSignal) => Promise<T>,
  patienceMs = PATIENCE_MS,
): Promise<T> {
  const stop = new AbortController();
  let caught: Signal | undefined;
  const listen = (signal: Signal): void => {
    if (caught !== undefined) endBy(signal);
    caught = signal;
    setTimeout(endBy, patienceMs, signal);
    stop.abort();
  };
  for (const signal of SIGNALS) process.on(signal, listen);
  stoppables++;
  try {
    return await work(stop.signal);
  } catch (error) {
    if (error instanceof Stopped) process.stderr.write('Stopped. Nothing half-written is left.\n');
    throw error;
  } finally {
    stoppables--;
    for (const signal of SIGNALS) process.off(signal, listen);
    if (caught !== undefined) endBy(caught);
  }
}

/** Ends as if nobody had listened: a shell tells by that why, and does not go on with a list of commands. */
function endBy(signal: Signal): never {
  for (const each of SIGNALS) process.removeAllListeners(each);
  process.kill(process.pid, signal);
  // The system spares process 1.
  process.exit(128 + constants.signals[signal]);
}

/** The system ends no process 1, the first of a container, that does not listen: it ends itself as soon as it can. */
export function listenAsFirstProcess(): void {
  if (process.pid !== 1) return;
  for (const signal of SIGNALS) {
    process.on(signal, () => {
      if (stoppables === 0) endBy(signal);
    });
  }
}
