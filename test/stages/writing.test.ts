import { describe, expect, it } from 'vitest';
import { completeJob, createPipeline, type JobInput } from '../../src/index.js';
import { labelRegions } from '../../src/raster/labels.js';
import type { Picture } from '../../src/stages/read/read.js';
import { smallWriting } from '../../src/stages/check/writing.js';
import { lineDrawings } from '../support/line-drawings.js';
import { scenes } from '../support/scenes.js';
import { writtenPage } from '../support/written-page.js';

async function told(picture: Buffer | string, given: JobInput = {}): Promise<readonly string[]> {
  const job = completeJob(given);
  const { read } = await createPipeline().runFor(['read'], picture, job);
  return smallWriting(read, job).map(({ message }) => message);
}

describe('a picture of writing', () => {
  it.each([
    ['stardos-stencil', 48],
    ['allerta', 60],
    ['courier-prime', 48],
  ])('%s: small letters are told with the height that they take', async (face, em) => {
    const [message] = await told(writtenPage(face, em));
    expect(message).toContain('one of writing');
    // An e: three openings of 1.5 mm, two strips of 1.6 mm.
    expect(message).toContain('takes 7.7 mm');
    const mm = Number(/about ([\d.]+) mm high/.exec(message)![1]);
    // Small letters are some 0.5 em high; common practice, no source. The card's 89.6 mm show 1000 units.
    expect(mm).toBeGreaterThan(0.38 * em * 0.0896);
    expect(mm).toBeLessThan(0.75 * em * 0.0896);
  });

  it('is told nothing of once its letters are large enough', async () => {
    expect(await told(writtenPage('allerta', 60), { card: '300x300mm' })).toEqual([]);
    expect(await told(writtenPage('allerta', 60), { card: '4x4in' })).toHaveLength(1);
    expect(await told(writtenPage('allerta', 400, ['Ida', 'Nils']))).toEqual([]);
  });

  it('is seen as it is by who makes it into a stencil', async () => {
    const made = await createPipeline().run(
      writtenPage('allerta', 60),
      completeJob({ fineness: 5 }),
    );
    expect(made.values.check.findings.map(({ code }) => code)).toContain('writing-small');
  });

  it('keeps the inside of every letter, of small ones of 8 mm', async () => {
    const { reach, widen } = await createPipeline().runFor(
      ['reach', 'widen'],
      writtenPage('allerta', 175, ['geese', 'bread']),
      completeJob({}),
    );
    const drawn = labelRegions(reach.bitmap, 0, 4);
    const left = new Int32Array(drawn.count + 1);
    drawn.labels.forEach((label, i) => {
      if (widen.bitmap.data[i] === 0) left[label]++;
    });
    const shares = [...left.slice(2)].map((count, k) => count / drawn.areas[k + 2]);
    // g, three times e; b, e, a, d.
    expect(shares).toHaveLength(8);
    expect(Math.min(...shares)).toBeGreaterThan(0.6);
  });

  it('is no drawing, and no scene', async () => {
    for (const { svg } of lineDrawings) expect(await told(Buffer.from(svg))).toEqual([]);
    for (const { png } of scenes) expect(await told(await png())).toEqual([]);
  });

  it.each([
    ['a fence', 30, () => 12],
    ['a comb', 40, () => 8],
  ])('is not %s, whose parts are alike', (_, count, wide) => {
    const data = new Uint8Array(1000 * 1000).fill(255);
    for (let row = 0; row < 6; row++) {
      for (let k = 0; k < count; k++) {
        for (let y = 0; y < 60; y++) {
          const from = (100 + row * 120 + y) * 1000 + 80 + k * 22;
          data.fill(0, from, from + wide());
        }
      }
    }
    const picture: Pick<Picture, 'gray' | 'pictureBox' | 'pixelsPerMm'> = {
      gray: { width: 1000, height: 1000, data },
      pictureBox: { x: 60, y: 60, width: 880, height: 880 },
      pixelsPerMm: 10,
    };
    expect(smallWriting(picture, completeJob({}))).toEqual([]);
  });
});
