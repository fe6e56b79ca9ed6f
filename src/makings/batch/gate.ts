import { Stopped, type StopSign } from '../../disk/result.js';

/** Places in the shared array: how many threads are writing a result, and whether no more may begin. */
const WRITING = 0;
const STOPPING = 1;

/** What threads share so that none of them is ended in the middle of writing a result. */
export type Gate = Int32Array;

/** A gate that stands open. */
export function openGate(): Gate {
  return new Int32Array(new SharedArrayBuffer(2 * Int32Array.BYTES_PER_ELEMENT));
}

/**
 * Does a work that must not be cut short, and that may stop by itself when the sign says so.
 *
 * @returns undefined where it stopped, or where the gate is shut already and nothing may begin
 */
export async function throughGate<T>(
  gate: Gate,
  work: (sign: StopSign) => Promise<T>,
): Promise<T | undefined> {
  Atomics.add(gate, WRITING, 1);
  const sign: StopSign = {
    get aborted() {
      return Atomics.load(gate, STOPPING) !== 0;
    },
  };
  try {
    return sign.aborted ? undefined : await work(sign);
  } catch (error) {
    if (error instanceof Stopped) return undefined;
    throw error;
  } finally {
    Atomics.sub(gate, WRITING, 1);
  }
}

/** How often it is looked, in ms: a result is written in tens of them. */
const LOOK_AGAIN_MS = 5;

/** Lets nobody else through, and waits until those who are have come out. */
export async function shutGate(gate: Gate): Promise<void> {
  Atomics.store(gate, STOPPING, 1);
  while (Atomics.load(gate, WRITING) > 0) {
    await new Promise((resolve) => setTimeout(resolve, LOOK_AGAIN_MS));
  }
}
