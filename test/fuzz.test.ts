import { readdirSync, readFileSync } from 'node:fs';
import { beforeAll, describe, expect, it } from 'vitest';
import {
  fuzzKinds,
  makeByFile,
  makeOf,
  openCases,
  type FuzzKind,
  type Outcome,
  type RunCase,
} from './fuzz/cases.js';
import { seedPictures } from './fuzz/mutate.js';

/* A short run of `npm run fuzz`, and what its long runs have found. */
const COUNTS: Readonly<Record<FuzzKind, number>> = { pictures: 180, settings: 40, 'job files': 60 };
const FOUND = new URL('fixtures/fuzz/', import.meta.url);

describe('nonsense comes to a stencil or to a sentence', () => {
  let cases: Readonly<Record<FuzzKind, RunCase>>;

  beforeAll(async () => {
    cases = await openCases();
  });

  it.each(fuzzKinds)('when it is among %s', async (kind) => {
    const outcomes = new Map<Outcome, number>();
    for (let number = 1; number <= COUNTS[kind]; number++) {
      const outcome = await cases[kind](number).catch((error: unknown) => {
        throw new Error(`${kind} ${number}`, { cause: error });
      });
      outcomes.set(outcome, (outcomes.get(outcome) ?? 0) + 1);
    }
    // Of blows that all were deadly, or none was, nothing would be learnt.
    expect(outcomes.get('made') ?? 0).toBeGreaterThan(5);
    expect(outcomes.get('refused') ?? 0).toBeGreaterThan(5);
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
