/**
 * `npm run fuzz [pictures] [photographs] [settings] [job files] [first]`: thousands of damaged pictures, whole photographs
 * by any limits, random settings and damaged files of settings, other ones in each run unless the number of the first
 * is given. Each must come to a stencil or to a sentence: no crash, no hang, no gigabyte. What does not is kept in
 * .scratch/fuzz, to become a fixture.
 */
import { mkdirSync, writeFileSync } from 'node:fs';
import { availableParallelism } from 'node:os';
import { join } from 'node:path';
import { bytesOf, fuzzKinds, type FuzzKind } from './cases.js';
import { firstSeed } from '../support/first-seed.js';
import { watched, type Answered } from '../support/watched.js';
import { seedPictures } from './mutate.js';
import type { Answer, Question } from './runner.js';

const given = process.argv.slice(2);
const [pictures = 5000, photographs = 500, settings = 1000, jobFiles = 1000] = given.map(Number);
const COUNTS: Readonly<Record<FuzzKind, number>> = {
  pictures,
  photographs,
  settings,
  'job files': jobFiles,
};

const counted = [pictures, photographs, settings, jobFiles].join(' ');
const first = firstSeed(given.at(4), `npm run fuzz -- ${counted} `);

/** Of processor time. What takes longer is a finding; what takes so much longer is ended. */
const MOST_SECONDS = 20;
const ENDED_AFTER_SECONDS = 60;
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
    const child = watched<Question, Answer>(new URL('./runner.ts', import.meta.url));
    for (let left = CASES_A_PROCESS; left > 0 && queue.length > 0; left--) {
      const question = queue.shift()!;
      const answered = await child.ask(question, ENDED_AFTER_SECONDS);
      judge(question, answered);
      if (typeof answered === 'string' || answered.answer.peakMib > MOST_MIB) break;
    }
    child.end();
  }
}

function judge(question: Question, answered: Answered<Answer> | string): void {
  const outcome = typeof answered === 'string' ? 'fault' : answered.answer.outcome;
  const key = `${question.kind}: ${outcome}`;
  counts.set(key, (counts.get(key) ?? 0) + 1);
  const done = total - queue.length;
  if (done % 250 === 0) console.log(`${done} of ${total} …`);
  if (typeof answered === 'string') {
    findings.push({ ...question, what: answered });
    return;
  }
  const { answer, cpuSeconds } = answered;
  slowest = Math.max(slowest, cpuSeconds);
  largest = Math.max(largest, answer.peakMib);
  if (answer.fault !== undefined) findings.push({ ...question, what: answer.fault });
  if (cpuSeconds > MOST_SECONDS) {
    findings.push({ ...question, what: `${cpuSeconds.toFixed(0)} s of processor time` });
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
