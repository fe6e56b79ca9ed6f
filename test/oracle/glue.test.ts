import sharp from 'sharp';
import { describe, expect, it } from 'vitest';
import { completeJob, makeStencil, type JobInput, type Made } from '../../src/index.js';
import { glueFaults } from '../support/glue-faults.js';
import { randomKinds, randomPicture } from '../support/random-pictures.js';

const COUNT = Number(process.env.GLUE_PICTURES ?? 12);
const SIZE = 400;

async function glued(picture: Uint8Array, given: JobInput): Promise<Made> {
  const job = completeJob({ as: 'glue-line', tone: 'level', ...given });
  return makeStencil(picture, job, { name: 'glue', outputs: ['stencil', 'strokes'] });
}

function png({ width, height, data }: ReturnType<typeof randomPicture>): Promise<Buffer> {
  const grey = Buffer.from(data.map((dark) => 255 * (1 - dark)));
  return sharp(grey, { raw: { width, height, channels: 1 } })
    .png()
    .toBuffer();
}

describe('the lines of a random picture', () => {
  it.each(Array.from({ length: COUNT }, (_, seed) => seed))(
    'of seed %i are one piece, as the stencil has them, and what runs together is told',
    async (seed) => {
      const kind = randomKinds[seed % randomKinds.length];
      const picture = await png(randomPicture(kind, seed, SIZE, 0));
      const fills = ['outline', 'hatch', 'spiral'] as const;
      const made = await glued(picture, {
        card: '4x4in',
        fineness: 6,
        beadWidth: 2.5 + (seed % 4) / 2,
        beadHeight: 2,
        massFill: fills[seed % 3],
        joinBy: seed % 2 === 0 ? 'lines' : 'rings',
        highestCrossing: seed % 4 === 0 ? 4 : 2,
      });
      expect(glueFaults(made), `${kind} ${seed}`).toEqual([]);
    },
    30_000,
  );
});
