/**
 * `npm run sweep [minutes] [first] [pictures…]`: width limits over their whole legal range, in steps of 0.1 mm, with both
 * tools on five cards, over the open photographs, the samples and the pictures given: as many cases as the minutes
 * carry, from a number on that is another in each run unless it is given. Each must come to a stencil or to a sentence
 * within seconds. A case is told by its number: the same number is the same case in every run over the same pictures.
 */
import { mkdirSync, writeFileSync } from 'node:fs';
import { availableParallelism } from 'node:os';
import { photographFile, photographs, sampleFiles } from '../support/photographs.js';
import { firstSeed } from '../support/first-seed.js';
import { watched, type Answered } from '../support/watched.js';
import { commandOf, gridSize, limitsOf } from './cases.js';
import type { Answer, Question } from './runner.js';

const given = process.argv.slice(2);
const [minutes = 60] = given.slice(0, 1).map(Number);
const first = firstSeed(given.at(1), `npm run sweep -- ${minutes} `);
const pictures = [...photographs.map(photographFile), ...sampleFiles, ...given.slice(2)];

/** Of processor time. What takes longer is a fault; what takes so much longer is ended. */
const MOST_SECONDS = 10;
const ENDED_AFTER_SECONDS = 60;

interface Case extends Question {
  readonly number: number;
}

/** Pictures take turns; in the grid's every round each place has the next picture. */
function caseOf(number: number): Case {
  const picture = pictures[(number + Math.floor(number / gridSize)) % pictures.length];
  return { number, picture, settings: limitsOf(number) };
}

const said: string[] = [];
const say = (line: string): void => {
  console.log(line);
  said.push(line);
};

const outcomes = new Map<string, number>();
const codes = new Map<string, number>();
let slowest = { cpuSeconds: 0, command: '' };
let [next, done, faults] = [first, 0, 0];

const end = Date.now() + minutes * 60_000;
await Promise.all(Array.from({ length: availableParallelism() }, work));
report();

async function work(): Promise<void> {
  const child = watched<Question, Answer>(new URL('./runner.ts', import.meta.url));
  while (Date.now() < end) {
    const one = caseOf(next++);
    judge(one, await child.ask(one, ENDED_AFTER_SECONDS));
  }
  child.end();
}

function count(counts: Map<string, number>, key: string): void {
  counts.set(key, (counts.get(key) ?? 0) + 1);
}

function judge({ number, picture, settings }: Case, answered: Answered<Answer> | string): void {
  const command = commandOf(picture, settings);
  const fault = (what: string): void => {
    faults++;
    say(`✗ ${number} ${what}\n    ${command}`);
  };
  if (++done % 250 === 0) console.log(`${done} cases …`);
  if (typeof answered === 'string') {
    count(outcomes, 'no answer');
    fault(answered);
    return;
  }
  const { answer, cpuSeconds } = answered;
  const { outcome, says, errors } = answer;
  count(outcomes, outcome);
  if (outcome === 'fault') fault(says ?? '');
  if (outcome === 'not good') {
    const found = [...new Set(errors)];
    for (const code of found) count(codes, code);
    say(`  ${number} not good: ${found.join(', ')}\n    ${command}`);
  }
  if (cpuSeconds > MOST_SECONDS) fault(`${cpuSeconds.toFixed(1)} s of processor time`);
  if (cpuSeconds > slowest.cpuSeconds) slowest = { cpuSeconds, command };
}

function report(): void {
  const all = (counts: ReadonlyMap<string, number>): string =>
    [...counts].map(([what, times]) => `${times} ${what}`).join(', ');
  say(
    `${done} cases over ${pictures.length} pictures, numbers ${first} to ${next - 1}: ${all(outcomes)}`,
  );
  if (codes.size > 0) say(`told as errors, by case: ${all(codes)}`);
  say(`slowest ${slowest.cpuSeconds.toFixed(1)} s of processor time: ${slowest.command}`);
  say(faults === 0 ? 'no fault' : `${faults} faults`);
  mkdirSync('.scratch', { recursive: true });
  writeFileSync('.scratch/sweep.txt', `${said.join('\n')}\n`);
  if (faults > 0) process.exitCode = 1;
}
