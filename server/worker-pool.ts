import { fileURLToPath } from 'node:url';
import { Piscina } from 'piscina';
import { Problem } from '../src/index.js';
import type { ServerLimits } from './limits.js';
import {
  newStopFlag,
  type StopFlag,
  type TaskReply,
  type Task,
  type Tasks,
  type WorkName,
} from './tasks.js';
import { busy, superseded, tooLong } from './trouble.js';

/** Threads that compute. A picture always goes to the same one, which keeps what it made of it. */
export interface WorkerPool {
  readonly size: number;
  /**
   * Has a thread do a task, after those that it was given before.
   *
   * @param thread which thread, from 0
   * @throws Problem what the task tells a person; a `Refusal` with 503 when too much waits or it takes too long,
   *   with 409 when it was stopped
   */
  do<N extends WorkName>(
    thread: number,
    kind: N,
    task: Tasks[N]['task'],
  ): Promise<Tasks[N]['answer']>;
  /** Has a thread warm up; it ends at the next stage when the thread is asked for something else. */
  warm(thread: number, task: Omit<Tasks['warm']['task'], 'stop'>): Promise<void>;
  /** The thread with the least to do; of equals rather another than the one that is to be spared. */
  leastLoaded(spared?: number): number;
  /** Whether a thread has nothing to do, and may still be given something. */
  isFree(thread: number): boolean;
  close(): Promise<void>;
}

const THREAD = import.meta.url.endsWith('.ts') ? './thread-from-sources.mjs' : './thread.js';

/** Starts the threads; each loads its code when it is first asked for something. */
export function createWorkerPool({
  threads,
  waiting,
  patienceMs,
  onFault,
}: Pick<ServerLimits, 'threads' | 'waiting' | 'patienceMs'> & {
  /** Told what goes wrong in a thread when no request waits for it. */
  readonly onFault: (error: unknown) => void;
}): WorkerPool {
  // One pool a thread: within a pool any thread may take a task, and what was kept would be in another one.
  const pools = Array.from(
    { length: threads },
    () =>
      new Piscina({
        filename: fileURLToPath(new URL(THREAD, import.meta.url)),
        minThreads: 1,
        maxThreads: 1,
        idleTimeout: Infinity,
      }),
  );
  // A thread that fails or answers after it was given up on has no request left to tell; unheard, that would end the server.
  for (const pool of pools) pool.on('error', onFault);
  const load = pools.map(() => 0);
  /** What ends the warming-up of a thread that warms up. */
  const givesWay: (StopFlag | undefined)[] = pools.map(() => undefined);
  let closing = false;
  return {
    size: threads,
    async do(thread, kind, task) {
      // One is worked on, the others wait. Forgetting takes no time, and must come through.
      if (load[thread] > waiting && kind !== 'forget') throw busy();
      load[thread]++;
      const warming = givesWay[thread];
      if (warming) Atomics.store(warming, 0, 1);
      const signal = AbortSignal.timeout(patienceMs);
      const asked = { kind, ...task } as Task;
      const answer = (await pools[thread]
        .run(asked, { name: 'work', signal })
        .catch((error: unknown) => {
          throw signal.aborted ? tooLong() : error;
        })
        .finally(() => load[thread]--)) as TaskReply<typeof kind>;
      if ('stopped' in answer) throw superseded();
      if ('told' in answer) {
        throw new Problem(answer.told.what, answer.told.where, answer.told.remedy);
      }
      return answer.done;
    },
    leastLoaded(spared) {
      const least = Math.min(...load);
      const idle = load.flatMap((tasks, thread) => (tasks === least ? [thread] : []));
      return idle.find((thread) => thread !== spared) ?? idle[0];
    },
    async warm(thread, task) {
      const stop = newStopFlag();
      const warming = this.do(thread, 'warm', { ...task, stop });
      givesWay[thread] = stop;
      // That it gave way is no fault.
      await warming.catch((error: unknown) => {
        if (Atomics.load(stop, 0) === 0) throw error;
      });
      givesWay[thread] = undefined;
    },
    isFree: (thread) => load[thread] === 0 && !closing,
    async close() {
      closing = true;
      for (const stop of givesWay) if (stop) Atomics.store(stop, 0, 1);
      // What is being worked on comes to its end first: a pool does not bear a late answer.
      await Promise.all(pools.map((pool) => pool.close({ force: true })));
    },
  };
}
