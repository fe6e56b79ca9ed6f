import sharp from 'sharp';
import { describe, expect, it } from 'vitest';
import { completeJob, makeStencil, Problem, type Made } from '../../src/index.js';
import { pixelsPerMm } from '../../src/settings/card.js';
import type { Bitmap } from '../../src/raster/raster.js';
import { firstSeed } from '../support/first-seed.js';
import { randomKinds, randomPicture, type RandomKind } from '../support/random-pictures.js';
import { brokenPromises, drawStencil, errorsOf } from '../support/stencil-drawing.js';

/*
 * Promises 1 to 5 on random pictures: each stencil.svg is drawn by an independent renderer (resvg) and measured by a
 * computer-vision library (OpenCV). What they find broken the report must say; on most pictures nothing is broken.
 */
const { RANDOM_PICTURES, RANDOM_FIRST } = process.env;
const PICTURES = Number(RANDOM_PICTURES ?? 28); // `npm run promises` tries 2,000, other ones each time
const SEEDS = Math.ceil(PICTURES / randomKinds.length);
const FIRST = RANDOM_PICTURES ? firstSeed(RANDOM_FIRST, 'npm run promises with RANDOM_FIRST=') : 1;
const CARD_MM = 40;
const MARGIN_MM = 4;
const LEAST_GOOD = 0.95;

// The picture's pixels are the sheet's, and one level parts them without smoothing: the tone is what was drawn.
const job = completeJob({
  // There is none in noise; to look for them would take as long as the stencil.
  faces: 'none',
  card: `${CARD_MM}x${CARD_MM}mm`,
  margin: MARGIN_MM,
  tone: 'level',
  smoothing: 0,
});
const side = Math.round(
  (CARD_MM - 2 * MARGIN_MM) * pixelsPerMm({ widthMm: CARD_MM, heightMm: CARD_MM }),
);

/** Every so manyth picture mirrors itself, left and right: such a one is tied alike on both sides. */
const MIRRORED_EVERY = 5;

async function pictureOf(kind: RandomKind, seed: number): Promise<Buffer> {
  const drawn = randomPicture(kind, seed, side, 0);
  const { width, height, data } = seed % MIRRORED_EVERY === 0 ? mirrored(drawn) : drawn;
  const greys = data.map((value) => (value === 1 ? 0 : 255));
  return sharp(greys, { raw: { width, height, channels: 1 } })
    .png()
    .toBuffer();
}

/** The left half, and its mirror image in the right half's stead. */
function mirrored({ width, height, data }: Bitmap): Bitmap {
  const both = data.map((_, i) => {
    const x = i % width;
    return data[i - x + Math.min(x, width - 1 - x)];
  });
  return { width, height, data: both };
}

/** The stencil of a random picture; undefined where we say in words that there is nothing to cut. */
async function make(kind: RandomKind, seed: number): Promise<Made | undefined> {
  try {
    return await makeStencil(await pictureOf(kind, seed), job, {
      name: `${kind} ${seed}`,
      outputs: ['stencil'],
    });
  } catch (error) {
    if (error instanceof Problem && error.what.startsWith('Nothing to cut')) return undefined;
    throw error;
  }
}

describe('no promise is silently broken', () => {
  it.each(randomKinds)(`in ${SEEDS} random pictures of %s`, async (kind) => {
    const silent: string[] = [];
    const told: string[] = [];
    let good = 0;
    for (let seed = FIRST; seed < FIRST + SEEDS; seed++) {
      const made = await make(kind, seed);
      if (!made) continue;
      const errors = errorsOf(made.run);
      const codes = new Set<string>(errors.map(({ code }) => code));
      const svg = String(made.files.get('stencil.svg'));
      const { sheet } = made.run.values.read;
      for (const { code, says } of brokenPromises(drawStencil(svg), sheet, job)) {
        if (!codes.has(code)) silent.push(`${kind} ${seed}: ${code}: ${says}`);
      }
      if (made.good) good++;
      else told.push(`${kind} ${seed}: ${[...codes].join(', ')}`);
    }
    expect.soft(silent).toEqual([]);
    expect(good, told.join('\n')).toBeGreaterThan(LEAST_GOOD * SEEDS);
  });
});
