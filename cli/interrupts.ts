/** 128 + the number of the signal: what shells expect of a process that was interrupted. */
const SIGNALS = { SIGINT: 130, SIGTERM: 143, SIGHUP: 129 } as const;

let writing = false;
let waiting: number | undefined;

/** Ends the process on Ctrl-C and the like, but not in the middle of writing: that is let finish first. */
export function obeySignals(): void {
  for (const [signal, status] of Object.entries(SIGNALS)) {
    process.on(signal, () => {
      // Asked twice, it ends at once: the disk may hang.
      if (!writing || waiting !== undefined) process.exit(status);
      waiting = status;
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
