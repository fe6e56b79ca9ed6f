import sharp from 'sharp';
import { beforeAll, describe, expect, it } from 'vitest';
import { completeJob, Problem, type JobInput } from '../../src/index.js';
import { readPicture } from '../../src/stages/read/read.js';
import { subjectLost } from '../../src/stages/check/lost.js';
import { subject, type Subject } from '../../src/stages/subject/subject.js';

/** Two disks on a ground, the one red and the other blue: 300 × 200 px. */
const TWO = `<svg xmlns="http://www.w3.org/2000/svg" width="300" height="200">
  <rect width="300" height="200" fill="#d8d2c0"/>
  <circle cx="80" cy="100" r="50" fill="#b03020"/><circle cx="220" cy="100" r="50" fill="#2040a0"/></svg>`;

let two: Buffer;

beforeAll(async () => {
  two = await sharp(Buffer.from(TWO)).png().toBuffer();
});

/** Tells apart, and gives a look at a place of the picture in its own px. */
async function tell(
  settings: JobInput,
): Promise<Subject & { readonly at: (x: number, y: number) => number | undefined }> {
  const job = completeJob({ card: '100x100mm', ...settings });
  const picture = await readPicture(two, job);
  const told = await subject(picture, [], job);
  const { pictureBox, shows } = picture;
  return {
    ...told,
    at: (x, y) => {
      const column = Math.floor(
        pictureBox.x + ((x / 300 - shows.x) / shows.width) * pictureBox.width,
      );
      const row = Math.floor(
        pictureBox.y + ((y / 200 - shows.y) / shows.height) * pictureBox.height,
      );
      return told.mask?.data[row * told.mask.width + column];
    },
  };
}

describe('subject', () => {
  it('does nothing that was not asked for', async () => {
    expect(await tell({})).toMatchObject({ mask: undefined, why: '' });
  });

  it('is what a box is drawn round, and nothing outside of it', async () => {
    const { at, why } = await tell({ subject: '5,10,45,80' });
    expect(at(80, 100)).toBe(1);
    expect(at(80, 56)).toBe(1);
    expect(at(80, 44)).toBe(0);
    expect(at(220, 100)).toBe(0);
    expect(why).toMatch(/told apart from its background as marked; it takes 13 % of the picture/);
  });

  it.each<[string, JobInput]>([
    ['the cropped part of a picture', { crop: '0,10,60,85' }],
    ['a picture that fills the card', { fit: 'fill' }],
    ['a lasso', { subject: null, marks: [{ do: 'lasso', along: [[3, 50], [26, 8], [52, 50], [26, 92]] }] }], // prettier-ignore
  ])('in the picture’s own coordinates holds for %s', async (_, settings) => {
    const { at } = await tell({ subject: '8,20,37,60', ...settings });
    expect(at(120, 100)).toBe(1);
    expect(at(80, 60)).toBe(1);
    expect(at(80, 44)).toBe(0);
    expect(at(140, 100)).toBe(0);
  });

  it('is warned of when most of what was marked went with the background', async () => {
    const box = { subject: '3,3,94,94' };
    const whole = await tell(box);
    expect(subjectLost(whole)).toEqual([]);
    const lost = await tell({ ...box, marks: [{ do: 'not-this', along: [[73, 40], [73, 60]] }] }); // prettier-ignore
    expect(subjectLost(lost)).toMatchObject([{ level: 'warning', code: 'subject-lost' }]);
  });

  it('grows from strokes alone, up to what is stroked as not this', async () => {
    const marks = [{ do: 'this', along: [[20, 50], [30, 50]] }] as const; // prettier-ignore
    const one = await tell({ marks });
    expect([one.at(80, 56), one.at(80, 44), one.at(220, 100)]).toEqual([1, 0, 0]);
    const both = await tell({ marks: [...marks, { do: 'this', along: [[73, 50]], width: 4 }] });
    expect([both.at(80, 100), both.at(220, 56), both.at(150, 100)]).toEqual([1, 1, 0]);
    const without = await tell({
      marks: [
        { do: 'box', from: [0, 5], to: [100, 95] },
        { do: 'not-this', along: [[70, 45], [76, 55]] }, // prettier-ignore
      ],
    });
    expect([without.at(80, 100), without.at(220, 100)]).toEqual([1, 0]);
  });

  it('is found where it stands out', async () => {
    const { at, why } = await tell({ subject: 'find' });
    expect([at(80, 56), at(220, 56), at(150, 100)]).toEqual([1, 1, 0]);
    expect(why).toMatch(/stands out/);
  });

  it.each<[JobInput, RegExp]>([
    [{ subject: '50,10,60,20' }, /leaves the picture/],
    [{ subject: '50,10,0,20' }, /is empty/],
    [
      { subject: '60,10,30,80', crop: '0,0,40,100' },
      /No subject was found in what is marked.*Draw the box closer/,
    ],
    [
      { marks: [{ do: 'not-this', along: [[20, 50]] }], subject: '0,0,2,2' },
      /No subject was found/,
    ],
  ])('refuses %j in words', async (settings, words) => {
    await expect(tell(settings)).rejects.toThrow(Problem);
    await expect(tell(settings)).rejects.toThrow(words);
  });
});
