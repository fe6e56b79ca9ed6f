import { mkdtemp, rm, writeFile } from 'node:fs/promises';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import {
  completeJob,
  makeStencil,
  overlay,
  Problem,
  readSettingsFile,
  type JobInput,
} from '../../src/index.js';
import { limitsOf } from '../sweep/cases.js';
import { photographFile, photographs, sampleFiles } from '../support/photographs.js';
import { mutatedPicture, mutatedText, seedPictures, type Seed } from './mutate.js';
import { randomSettings } from './settings.js';

/** What is fed with nonsense. */
export const fuzzKinds = ['pictures', 'photographs', 'settings', 'job files'] as const;
export type FuzzKind = (typeof fuzzKinds)[number];

/** What it comes to when all is well: a stencil, or a sentence that says why there is none. */
export type Outcome = 'made' | 'refused';

/** Runs the case of a number; anything but an outcome is thrown, and a fault of ours. */
export type RunCase = (number: number) => Promise<Outcome>;

const SMALL: JobInput = { card: '40x40mm', margin: 4 };
/** Whole pictures, as people have them: what never ends does so on these rather than on damaged ones. */
const ORDINARY = [...photographs.map(photographFile), ...sampleFiles];

/** The runners of each kind; the same number is the same case in every run. */
export async function openCases(): Promise<Readonly<Record<FuzzKind, RunCase>>> {
  const seeds = await seedPictures();
  const whole = seeds.filter(({ kind }) => kind !== 'heic').map(({ bytes }) => bytes);
  return {
    pictures: (number) => makeOf(mutatedPicture(seeds, number).bytes, SMALL),
    photographs: (number) => makeOf(ORDINARY[number % ORDINARY.length], ordinarySettings(number)),
    settings: (number) =>
      makeOf(whole[number % whole.length], {
        ...SMALL,
        ...randomSettings(number),
      }),
    'job files': (number) => makeByFile(jobFile(number), whole[number % whole.length]),
  };
}

/** The bytes of a case, to be kept where it is a finding. */
export function bytesOf(kind: FuzzKind, number: number, seeds: readonly Seed[]): Uint8Array {
  switch (kind) {
    case 'pictures':
      return mutatedPicture(seeds, number).bytes;
    case 'photographs':
      return Buffer.from(JSON.stringify(ordinarySettings(number), null, 2));
    case 'settings':
      return Buffer.from(JSON.stringify(randomSettings(number), null, 2));
    case 'job files':
      return jobFile(number);
  }
}

/** Limits over their whole range; every third time with random settings over them. */
function ordinarySettings(number: number): JobInput {
  return number % 3 === 0 ? { ...limitsOf(number), ...randomSettings(number) } : limitsOf(number);
}

/** Makes a stencil of what may be a picture, by settings that may be right. */
export function makeOf(picture: string | Uint8Array, settings: JobInput): Promise<Outcome> {
  return outcomeOf(() =>
    makeStencil(picture, completeJob(settings), { name: 'fuzz', outputs: ['stencil'] }),
  );
}

/** Makes a stencil of a picture by a file of settings that may be one. */
export async function makeByFile(file: Uint8Array, picture: Uint8Array): Promise<Outcome> {
  const folder = await mkdtemp(join(tmpdir(), 'stencilwright-fuzz-'));
  try {
    const path = join(folder, 'job.json');
    await writeFile(path, file);
    return await outcomeOf(async () => {
      const job = completeJob(overlay(SMALL, await readSettingsFile(path)));
      return makeStencil(picture, job, { name: 'fuzz', outputs: ['stencil'] });
    });
  } finally {
    await rm(folder, { recursive: true });
  }
}

function jobFile(number: number): Uint8Array {
  const job = { job: { ...SMALL, ...randomSettings(number) } };
  return mutatedText(JSON.stringify(number % 2 === 0 ? job : job.job, null, 2), number);
}

async function outcomeOf(make: () => Promise<unknown>): Promise<Outcome> {
  try {
    await make();
    return 'made';
  } catch (error) {
    if (!(error instanceof Problem)) throw error;
    for (const part of [error.what, error.where, error.remedy]) {
      if (part.trim() === '')
        throw new Error(`A sentence is missing in: ${error.message}`, { cause: error });
    }
    return 'refused';
  }
}
