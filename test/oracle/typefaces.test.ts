import { describe, expect, it } from 'vitest';
import { completeJob, makeStencil } from '../../src/index.js';
import { labelRegions } from '../../src/raster/labels.js';
import { trace } from '../../src/stages/trace/trace.js';
import { letterBitmap, letterSvg, typeface, type Face } from '../support/glyphs.js';
import { holes } from '../support/opencv.js';
import { faults } from '../support/stencil-drawing.js';

/*
 * Islands against published typefaces, under the SIL Open Font License, on npm as `@fontsource/*`, read by
 * opentype.js. A stencil face is drawn so that no letter has a counter that would fall out; its plain sibling has one
 * in each letter that is closed.
 */
const CAPITALS = 'ABCDEFGHIJKLMNOPQRSTUVWXYZ';
const LETTERS = [...CAPITALS, ...CAPITALS.toLowerCase(), ...'0123456789'];

const stencilFaces = [
  'allerta-stencil',
  'big-shoulders-stencil-display 700',
  'saira-stencil-one',
  'stardos-stencil',
  'stardos-stencil 700',
] as const;

/** The letters with one counter and those with two, told by eye from the letters drawn large. */
const plainFaces = [
  // Its nought has a stroke across it; its g has one storey.
  { name: 'allerta', one: 'ADOPQRabdegopq469', two: 'B08' },
  // Its g has two storeys.
  { name: 'big-shoulders-display 700', one: 'ADOPQRabdeopq0469', two: 'Bg8' },
] as const;

function counters({ one, two }: { one: string; two: string }, letter: string): number {
  return one.includes(letter) ? 1 : two.includes(letter) ? 2 : 0;
}

/** Islands by our labelling, by our outlines and by OpenCV's contour tree. */
function islandsOf(face: Face, letter: string): object {
  const bitmap = letterBitmap(face, letter);
  const { shapes } = trace(bitmap, 10);
  return {
    letter,
    labelled: labelRegions(bitmap, 0, 4).count - 1,
    outlined: shapes.reduce((sum, shape) => sum + shape.holes.length, 0),
    reference: holes(bitmap),
  };
}

const all = (letter: string, count: number): object => ({
  letter,
  labelled: count,
  outlined: count,
  reference: count,
});

describe('the letters of a published stencil typeface have no islands', () => {
  it.each(stencilFaces)('%s', (name) => {
    const face = typeface(name);
    for (const letter of LETTERS) {
      expect(islandsOf(face, letter)).toEqual(all(letter, 0));
    }
  });
});

describe('the letters of a plain typeface have an island for each counter', () => {
  it.each(plainFaces)('$name', (plain) => {
    const face = typeface(plain.name);
    for (const letter of LETTERS) {
      expect(islandsOf(face, letter)).toEqual(all(letter, counters(plain, letter)));
    }
  });
});

/** A letter about 32 mm large, made into a stencil. */
const job = completeJob({ card: '40x40mm', margin: 4, tone: 'level', fineness: 6 });

interface Cut {
  readonly letter: string;
  readonly islands: number;
  readonly bridges: number;
  readonly faults: readonly string[];
}

async function cut(face: Face, letter: string): Promise<Cut> {
  const picture = Buffer.from(letterSvg(face, letter));
  const made = await makeStencil(picture, job, { name: letter, outputs: ['stencil'] });
  const { islands, bridges } = made.run.values.bridge;
  return { letter, islands, bridges: bridges.length, faults: faults(made) };
}

async function expectTied(
  face: Face,
  letters: Iterable<string>,
  islands: (letter: string) => number,
): Promise<void> {
  const wrong: Cut[] = [];
  for (const letter of letters) {
    const made = await cut(face, letter);
    const tied = made.islands === islands(letter) && made.bridges >= made.islands;
    if (!tied || made.faults.length > 0) wrong.push(made);
  }
  expect(wrong).toEqual([]);
}

describe('made into stencils', () => {
  it.each(plainFaces)('the letters of $name have their islands tied', async (plain) => {
    // All that have islands; of those without, which have nothing to tie, every eighth.
    const letters = LETTERS.filter((letter, i) => counters(plain, letter) > 0 || i % 8 === 0);
    await expectTied(typeface(plain.name), letters, (letter) => counters(plain, letter));
  });

  it.each(['allerta-stencil', 'saira-stencil-one'])(
    'the letters of %s have nothing to tie',
    async (name) => {
      await expectTied(typeface(name), 'ABDQRaegq0489', () => 0);
    },
  );
});
