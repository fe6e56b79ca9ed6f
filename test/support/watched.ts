import { fork, type ChildProcess } from 'node:child_process';
import { fileURLToPath, pathToFileURL } from 'node:url';
import { Worker } from 'node:worker_threads';

/*
 * What may never end runs in a process of its own: no timer of the test's could stop it. It is watched by the time that
 * the processor has spent on it, so that a busy machine fails nothing.
 */

/** A process that answers questions, one after another. */
export interface Watched<Question, Answer> {
  /** The answer; or, in words, how the process failed to give one. It has then ended, and the next question starts anew. */
  ask(question: Question, mostSeconds: number): Promise<Answered<Answer> | string>;
  end(): void;
}

export interface Answered<Answer> {
  readonly answer: Answer;
  /** Processor time that it took, in s. */
  readonly cpuSeconds: number;
}

interface Asked<Question> {
  readonly question: Question;
  readonly mostSeconds: number;
}

const TSX = fileURLToPath(new URL('../../node_modules/tsx/dist/esm/index.mjs', import.meta.url));

/** @param module a file that calls `answerAll` */
export function watched<Question, Answer>(module: URL): Watched<Question, Answer> {
  let child: ChildProcess | undefined;
  return {
    end: () => void child?.kill('SIGKILL'),
    async ask(question, mostSeconds) {
      child ??= await started(module);
      const answered = await answerOf<Answer>(child, { question, mostSeconds });
      if (typeof answered === 'string') child = undefined;
      return answered;
    },
  };
}

function started(module: URL): Promise<ChildProcess> {
  const child = fork(module, {
    execArgv: ['--import', pathToFileURL(TSX).href],
    stdio: ['ignore', 'ignore', 'inherit', 'ipc'],
  });
  return new Promise((resolve, reject) => {
    child.once('message', () => {
      child.removeAllListeners();
      resolve(child);
    });
    child.once('exit', (status) => reject(new Error(`The process did not start: ${status}`)));
  });
}

function answerOf<Answer>(
  child: ChildProcess,
  asked: Asked<unknown>,
): Promise<Answered<Answer> | string> {
  return new Promise((resolve) => {
    const done = (answered: Answered<Answer> | string): void => {
      child.removeAllListeners();
      resolve(answered);
    };
    child.once('message', (answered) => done(answered as Answered<Answer>));
    child.once('exit', (status, signal) =>
      done(
        signal === 'SIGKILL'
          ? `no answer in ${asked.mostSeconds} s of processor time`
          : `the process ended: ${signal ?? status}`,
      ),
    );
    child.send(asked);
  });
}

/** Ends its process where a question has taken too long, or where nobody waits for the answer any more. */
const WATCHDOG = `
  const { workerData } = require('node:worker_threads');
  const parent = process.ppid;
  const spent = () => (process.cpuUsage().user + process.cpuUsage().system) / 1000;
  setInterval(() => {
    const until = Atomics.load(workerData, 0);
    if (process.ppid !== parent || (until > 0 && spent() > until)) process.kill(process.pid, 'SIGKILL');
  }, 200);
`;

/** Answers what this process is asked, and ends it with an answer that takes too long. */
export function answerAll<Question, Answer>(answer: (question: Question) => Promise<Answer>): void {
  const until = new Int32Array(new SharedArrayBuffer(4));
  new Worker(WATCHDOG, { eval: true, workerData: until, execArgv: [] }).unref();
  const spent = (): number => {
    const { user, system } = process.cpuUsage();
    return (user + system) / 1e6;
  };
  process.on('message', ({ question, mostSeconds }: Asked<Question>) => {
    const before = spent();
    Atomics.store(until, 0, Math.ceil((before + mostSeconds) * 1000));
    void answer(question).then((given) => {
      Atomics.store(until, 0, 0);
      process.send?.({ answer: given, cpuSeconds: spent() - before } satisfies Answered<Answer>);
    });
  });
  process.send?.('ready');
}
