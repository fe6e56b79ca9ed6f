/**
 * `npm run fuzz [pictures] [settings] [job files] [first]`: thousands of damaged pictures, random settings and damaged
 * files of settings. Each must come to a stencil or to a sentence: no crash, no hang, no gigabyte. What does not is
 * kept in .scratch/fuzz, to become a fixture.
 */
import { fork, type ChildProcess } from 'node:child_process';
import { mkdirSync, writeFileSync } from 'node:fs';
import { availableParallelism } from 'node:os';
import { join } from 'node:path';
import { bytesOf, fuzzKinds, type FuzzKind } from './cases.js';
import { seedPictures } from './mutate.js';
import type { Answer, Question } from './runner.js';

const [pictures = 5000, settings = 1000, jobFiles = 1000, first = 1] = process.argv
  .slice(2)
  .map(Number);
const COUNTS: Readonly<Record<FuzzKind, number>> = { pictures, settings, 'job files': jobFiles };

/** Of processor time; a machine with other work gets longer by the clock. */
const MOST_SECONDS = 20;
const MOST_CLOCK_SECONDS = 90;
const MOST_MIB = 1024;
/** A process of its own takes so many cases, so that memory is counted from low again and a leak shows. */
const CASES_A_PROCESS = 250;

interface Finding extends Question {
  readonly what: string;
}

const findings: Finding[] = [];
const counts = new Map<string, number>();
let slowest = 0;
let largest = 0;

const queue: Question[] = fuzzKinds.flatMap((kind) =>
  Array.from({ length: COUNTS[kind] }, (_, i) => ({ kind, number: first + i })),
);
const total = queue.length;
await Promise.all(Array.from({ length: availableParallelism() }, work));
await report();

async function work(): Promise<void> {
  while (queue.length > 0) {
    const child = await start();
    for (let left = CASES_A_PROCESS; left > 0 && queue.length > 0; left--) {
      const question = queue.shift()!;
      const answer = await ask(child, question);
      judge(question, answer);
      if (typeof answer === 'string' || answer.peakMib > MOST_MIB) break;
    }
    child.kill('SIGKILL');
  }
}

function start(): Promise<ChildProcess> {
  const child = fork(new URL('./runner.ts', import.meta.url), {
    stdio: ['ignore', 'ignore', 'ignore', 'ipc'],
  });
  return new Promise((resolve, reject) => {
    child.once('message', () => resolve(child));
    child.once('exit', (status) => reject(new Error(`The process did not start: ${status}`)));
  });
}

/** The answer, or how the process failed to give one. */
function ask(child: ChildProcess, question: Question): Promise<Answer | string> {
  return new Promise((resolve) => {
    const done = (answer: Answer | string): void => {
      clearTimeout(timer);
      child.removeAllListeners();
      resolve(answer);
    };
    const timer = setTimeout(
      () => done(`no answer in ${MOST_CLOCK_SECONDS} s`),
      MOST_CLOCK_SECONDS * 1000,
    );
    child.once('message', (answer) => done(answer as Answer));
    child.once('exit', (status, signal) => done(`the process ended: ${signal ?? status}`));
    child.send(question);
  });
}

function judge(question: Question, answer: Answer | string): void {
  const outcome = typeof answer === 'string' ? 'fault' : answer.outcome;
  const key = `${question.kind}: ${outcome}`;
  counts.set(key, (counts.get(key) ?? 0) + 1);
  const done = total - queue.length;
  if (done % 250 === 0) console.log(`${done} of ${total} …`);
  if (typeof answer === 'string') {
    findings.push({ ...question, what: answer });
    return;
  }
  slowest = Math.max(slowest, answer.cpuSeconds);
  largest = Math.max(largest, answer.peakMib);
  if (answer.fault !== undefined) findings.push({ ...question, what: answer.fault });
  if (answer.cpuSeconds > MOST_SECONDS) {
    findings.push({ ...question, what: `${answer.cpuSeconds.toFixed(0)} s of processor time` });
  }
  if (answer.peakMib > MOST_MIB) {
    findings.push({ ...question, what: `${answer.peakMib.toFixed(0)} MiB` });
  }
}

async function report(): Promise<void> {
  for (const [key, count] of [...counts].sort()) console.log(`${key.padEnd(24)} ${count}`);
  console.log(
    `slowest ${slowest.toFixed(1)} s of processor time, largest process ${largest.toFixed(0)} MiB`,
  );
  if (findings.length === 0) {
    console.log('no finding');
    return;
  }
  const seeds = await seedPictures();
  const folder = '.scratch/fuzz';
  mkdirSync(folder, { recursive: true });
  for (const { kind, number, what } of findings) {
    const file = join(folder, `${kind.replace(' ', '-')}-${number}`);
    writeFileSync(file, bytesOf(kind, number, seeds));
    console.log(`✗ ${kind} ${number} (${file}): ${what}`);
  }
  process.exitCode = 1;
}
