import { afterAll, describe, expect, it } from 'vitest';
import { seeded } from './support/bitmaps.js';
import {
  photographFile,
  sampleFiles,
  photographs,
  type Photograph,
} from './support/photographs.js';
import { watched } from './support/watched.js';
import { commandOf, gridSize, limitsOf, type Given } from './sweep/cases.js';
import type { Question as Loop } from './sweep/loops.js';
import type { Answer, Question } from './sweep/runner.js';

/*
 * Nothing runs for ever, whatever the limits: a short run of `npm run sweep`, and what once did run for ever. All of it
 * in processes that are ended when they do not end: no timer of a test stops a loop.
 */

/** Of processor time; a case takes one or two. */
const MOST_SECONDS = 60;

describe('what runs until nothing changes any more ends', () => {
  const child = watched<Loop, number>(new URL('./sweep/loops.ts', import.meta.url));
  afterAll(() => child.end());

  it.each([
    ['widening film at the edge of the sheet', 'thinAtTheEdge', 40],
    ['bettering a way whose costs are huge', 'missedOnAGrid', 12],
    ['packing what is larger than the sheet', 'sheetsForTooLarge', 1],
  ] as const)('%s', async (_, loop, seeds) => {
    for (let seed = 1; seed <= seeds; seed++) {
      const answered = await child.ask({ loop, seed }, MOST_SECONDS);
      expect(answered, `seed ${seed}`).toMatchObject({ answer: 0 });
    }
  });
});

describe('a stencil or a sentence, within seconds', () => {
  const child = watched<Question, Answer>(new URL('./sweep/runner.ts', import.meta.url));
  afterAll(() => child.end());

  const ends = async (picture: string, settings: Given): Promise<void> => {
    const answered = await child.ask({ picture, settings }, MOST_SECONDS);
    const outcome = typeof answered === 'string' ? answered : answered.answer.outcome;
    const says = typeof answered === 'string' ? '' : answered.answer.says;
    expect(['good', 'not good', 'refused'], `${commandOf(picture, settings)}\n${says}`).toContain(
      outcome,
    );
  };

  /* All of these ran for ever, as did hundreds like them. */
  const endless: readonly (readonly [Photograph, string, number])[] = [
    ['locomotion-house-cat', '4x4in', 4],
  ];

  it.each(endless)('of %s on %s with strips of %f mm', async (name, card, narrowestStrip) => {
    const bridgeWidth = Math.round(10 * narrowestStrip + 8) / 10;
    await ends(photographFile(name), { card, narrowestStrip, bridgeWidth });
  });

  const random = seeded(22);
  // The largest card takes as long as all others: it is left to the long run.
  const numbers = Array.from({ length: 20 }, () => Math.floor(gridSize * random()))
    .filter((number) => limitsOf(number).card !== 'film-sheet')
    .slice(0, 1);
  const pictures = [...photographs.map(photographFile), ...sampleFiles];

  it.each(numbers)('in case %i of the sweep', async (number) => {
    await ends(pictures[number % pictures.length], limitsOf(number));
  });
});
