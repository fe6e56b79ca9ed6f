import { readdirSync, readFileSync } from 'node:fs';
import { afterAll, describe, expect, it } from 'vitest';
import { fuzzKinds, makeByFile, makeOf, type Outcome } from './fuzz/cases.js';
import { seedPictures } from './fuzz/mutate.js';
import type { Answer, Question } from './fuzz/runner.js';
import { watched } from './support/watched.js';

/* A short run of `npm run fuzz`, and what its long runs have found. */
const COUNTS = { pictures: 34, settings: 14, 'job files': 18 };
/** Whole photographs with random limits are left to the long run, and to the sweep's short one. */
const KINDS = fuzzKinds.filter((kind) => kind !== 'photographs');
/** Of processor time; most cases take a tenth of one. */
const MOST_SECONDS = 60;
const FOUND = new URL('fixtures/fuzz/', import.meta.url);

describe('nonsense comes to a stencil or to a sentence', () => {
  const child = watched<Question, Answer>(new URL('./fuzz/runner.ts', import.meta.url));
  afterAll(() => child.end());

  it.each(KINDS)('when it is among %s', async (kind) => {
    const outcomes = new Map<Outcome, number>();
    for (let number = 1; number <= COUNTS[kind]; number++) {
      const answered = await child.ask({ kind, number }, MOST_SECONDS);
      if (typeof answered === 'string') throw new Error(`${kind} ${number}: ${answered}`);
      const { outcome, fault } = answered.answer;
      if (outcome === 'fault') throw new Error(`${kind} ${number}: ${fault}`);
      outcomes.set(outcome, (outcomes.get(outcome) ?? 0) + 1);
    }
    // Of blows that all are deadly, or none, nothing is learnt.
    expect(outcomes.get('made') ?? 0).toBeGreaterThan(2);
    expect(outcomes.get('refused') ?? 0).toBeGreaterThan(2);
  });
});

describe('what was found once', () => {
  const files = readdirSync(FOUND).filter((name) => name !== 'README.md');

  it.each(files)('%s', async (name) => {
    const bytes = new Uint8Array(readFileSync(new URL(name, FOUND)));
    const [{ bytes: whole }] = await seedPictures();
    const outcome = name.endsWith('.json')
      ? await makeByFile(bytes, whole)
      : await makeOf(bytes, { card: '40x40mm', margin: 4 });
    expect(['made', 'refused']).toContain(outcome);
  });
});
