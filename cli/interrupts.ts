/** 128 + the number of the signal: what shells expect of a process that was interrupted. */
const SIGNALS = { SIGINT: 130, SIGTERM: 143, SIGHUP: 129 } as const;

let writing = false;
let waiting: number | undefined;
/** Asks the work at hand to stop. */
let stop: AbortController | undefined;

/** Ends the process on Ctrl-C and the like, but not in the middle of writing: that is let finish first. */
export function obeySignals(): void {
  for (const [signal, status] of Object.entries(SIGNALS)) {
    process.on(signal, () => {
      // Asked twice, it ends at once: the disk may hang.
      if ((!writing && !stop) || waiting !== undefined) process.exit(status);
      waiting = status;
      stop?.abort();
    });
  }
}

/** Does a work that leaves something half-done if it is interrupted. */
export async function uninterrupted<T>(work: () => Promise<T>): Promise<T> {
  writing = true;
  try {
    return await work();
  } finally {
    writing = false;
    if (waiting !== undefined) process.exit(waiting);
  }
}

/** Does a long work that can be asked to stop: on Ctrl-C and the like it is, and the process ends when it has. */
export async function stoppable<T>(work: (signal: AbortSignal) => Promise<T>): Promise<T> {
  stop = new AbortController();
  try {
    return await work(stop.signal);
  } finally {
    stop = undefined;
    if (waiting !== undefined) process.exit(waiting);
  }
}
