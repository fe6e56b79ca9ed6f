import { readFile } from 'node:fs/promises';
import sharp from 'sharp';
import { describe, expect, it } from 'vitest';
import { pixelsPerMm } from '../../src/settings/card.js';
import { completeJob, makeStencil, Problem, type JobInput, type Made } from '../../src/index.js';
import type { Bitmap } from '../../src/raster/raster.js';
import { seeded } from '../support/bitmaps.js';
import { enlarged, handwritten } from '../support/digits.js';
import { firstSeed } from '../support/first-seed.js';
import { photographFile, photographs } from '../support/photographs.js';
import { randomEdits } from '../support/random-edits.js';
import { randomKinds, randomPicture } from '../support/random-pictures.js';
import { components, inverse } from '../support/opencv.js';
import { brokenPromises, drawStencil, errorsOf } from '../support/stencil-drawing.js';

/*
 * Promises 1 to 3 with everything that a person can do to bridges: ties beyond one an island, strands that pass over
 * and under, and bridges added, moved, removed, pinned and forbidden at random. Each stencil.svg is drawn by an
 * independent renderer (resvg) and measured by a computer-vision library (OpenCV). What they find broken the report
 * must say: a person may ask for what breaks a promise, and is told so.
 *
 * The digits are of LeCun, Cortes & Burges, "The MNIST database of handwritten digits" (1998).
 */
const PICTURES = Number(process.env.EDITED_PICTURES ?? 4); // `npm run promises:edited` tries 500, and 1,000 digits
const DIGITS = Number(process.env.EDITED_DIGITS ?? 10);
/** The pictures, and the edits, are those of the numbers from this one on. */
const FIRST = process.env.EDITED_PICTURES
  ? firstSeed(process.env.EDITED_FIRST, 'npm run promises:edited with EDITED_FIRST=')
  : 1;
/** The photographs as they are usually made, each with edits of so many seeds. */
const PHOTOGRAPHS = process.env.EDITED_PHOTOGRAPHS ? photographs.length : 1;
const CARD_OF_PHOTOGRAPHS = process.env.EDITED_PHOTOGRAPHS ? '4x4in' : '60x60mm';
const TIMES_EDITED = Number(process.env.EDITED_PHOTOGRAPHS ?? 1);
const PROMISES = new Set([
  'loose-island',
  'weak-hold',
  'narrow-opening',
  'small-opening',
  'tight-turn',
]);
const CARD_MM = 56;
const MARGIN_MM = 4;
const DIGIT_PX = 28;

const usual: JobInput = {
  card: `${CARD_MM}x${CARD_MM}mm`,
  margin: MARGIN_MM,
  tone: 'level',
  smoothing: 0,
  strands: 'always',
};
const side = Math.round(
  (CARD_MM - 2 * MARGIN_MM) * pixelsPerMm({ widthMm: CARD_MM, heightMm: CARD_MM }),
);

function toPng({ width, height, data }: Bitmap): Promise<Buffer> {
  const greys = data.map((value) => (value === 1 ? 0 : 255));
  return sharp(greys, { raw: { width, height, channels: 1 } })
    .png()
    .toBuffer();
}

/** The stencil of a picture; undefined where we say in words that there is nothing to cut. */
async function make(picture: Buffer, name: string, job: JobInput): Promise<Made | undefined> {
  try {
    return await makeStencil(picture, completeJob(job), { name, outputs: ['stencil'] });
  } catch (error) {
    if (error instanceof Problem && error.what.startsWith('Nothing to cut')) return undefined;
    throw error;
  }
}

/** What the measure finds broken and the report does not name, a line each. */
function silent({ files, run, job }: Made): string[] {
  const codes = new Set<string>(errorsOf(run).map(({ code }) => code));
  const drawing = drawStencil(String(files.get('stencil.svg')));
  const { sheet } = run.values.read;
  const broken = brokenPromises(drawing, sheet, job).filter(({ code }) => code !== 'weak-hold');
  // An island that falls is named once: what is within it needs no hold.
  const held = { ...drawing, bitmap: withoutLoose(drawing.bitmap) };
  const weak = brokenPromises(held, sheet, job).filter(({ code }) => code === 'weak-hold');
  return [...broken, ...weak]
    .filter(({ code }) => PROMISES.has(code) && !codes.has(code))
    .map(({ code, says }) => `${code}: ${says}`);
}

/** A stencil after what nothing holds has fallen out. */
function withoutLoose(bitmap: Bitmap): Bitmap {
  const { labels } = components(inverse(bitmap), 4);
  const data = bitmap.data.map((value, i) => (value === 0 && labels[i] !== labels[0] ? 1 : value));
  return { ...bitmap, data };
}

/** How pictures went, with bridges as they are proposed and after random edits. */
class Tally {
  readonly silent: string[] = [];
  readonly told: string[] = [];
  made = 0;
  edits = 0;

  async try(name: string, bitmap: Bitmap, seed: number): Promise<void> {
    await this.tryPicture(name, await toPng(bitmap), usual, [seed]);
  }

  /** A picture as proposed, and with the edits of each seed. */
  async tryPicture(
    name: string,
    picture: Buffer,
    job: JobInput,
    seeds: readonly number[],
  ): Promise<void> {
    const proposed = await make(picture, name, job);
    if (!proposed) return;
    this.note(`${name}, as proposed`, proposed);
    const { bridges } = proposed.run.values.bridge;
    const { widthMm } = proposed.run.values.read.sheet;
    for (const seed of seeds) {
      const edits = randomEdits(bridges, widthMm, seeded(seed));
      const edited = await make(picture, name, { ...job, ...edits });
      if (!edited) continue;
      this.edits += edits.bridgeEdits.length + edits.bridgeFree.length;
      this.note(`${name}, edited (${seed})`, edited);
    }
  }

  private note(name: string, made: Made): void {
    this.made++;
    this.silent.push(...silent(made).map((line) => `${name}: ${line}`));
    if (!made.good) {
      this.told.push(`${name}: ${[...new Set(errorsOf(made.run).map(({ code }) => code))].join()}`);
    }
  }

  /** One line of figures for the long runs. */
  summary(what: string): string {
    const edited = this.told.filter((line) => line.includes(', edited')).length;
    const { length } = this.told;
    return `${what}: ${this.made} stencils, ${this.edits} edits; ${this.silent.length} silent, told: ${length - edited} as proposed, ${edited} edited\n${this.told.join('\n')}`;
  }
}

describe('no promise is silently broken with ties, strands and edits', () => {
  it.each(randomKinds)(`in random pictures of %s`, async (kind) => {
    const tally = new Tally();
    for (let seed = FIRST; seed < FIRST + PICTURES / randomKinds.length; seed++) {
      await tally.try(`${kind} ${seed}`, randomPicture(kind, seed, side, 0), seed);
    }
    if (process.env.EDITED_PICTURES) console.log(tally.summary(kind));
    expect(tally.silent).toEqual([]);
    expect(tally.edits).toBeGreaterThan(0);
  });

  it.each(photographs.slice(0, PHOTOGRAPHS))('in the photograph %s', async (photograph) => {
    const tally = new Tally();
    const seeds = Array.from({ length: TIMES_EDITED }, (_, k) => FIRST + k);
    const picture = await readFile(photographFile(photograph));
    await tally.tryPicture(photograph, picture, { card: CARD_OF_PHOTOGRAPHS }, seeds);
    if (process.env.EDITED_PHOTOGRAPHS) console.log(tally.summary(photograph));
    expect(tally.silent).toEqual([]);
    expect(tally.edits).toBeGreaterThan(0);
  });

  it.each([0, 1, 2, 3, 4, 5, 6, 7, 8, 9])('in handwritten digits %d', async (digit) => {
    const tally = new Tally();
    const bitmaps = handwritten(digit, DIGITS / 10);
    for (const [k, bitmap] of bitmaps.entries()) {
      const large = enlarged(bitmap, Math.ceil(side / DIGIT_PX));
      await tally.try(`${digit} ${k}`, large, 1000 * digit + FIRST + k);
    }
    if (process.env.EDITED_DIGITS) console.log(tally.summary(`digit ${digit}`));
    expect(tally.silent).toEqual([]);
    expect(tally.edits).toBeGreaterThan(0);
  });
});
