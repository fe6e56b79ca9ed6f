import { describe, expect, it } from 'vitest';
import { completeJob, type JobInput } from '../../src/index.js';
import type { Bitmap } from '../../src/raster/raster.js';
import { applySubject } from '../../src/stages/tone/subject-background.js';
import type { Tone } from '../../src/stages/tone/tone.js';
import { painted } from '../support/bitmaps.js';

const SIZE = 300;
const PX = 10;
const pictureBox = { x: 20, y: 20, width: 260, height: 260 };

type Rule = (x: number, y: number) => boolean;

/** A bitmap of 30 × 30 mm by a rule in mm. */
function bitmap(rule: Rule): Bitmap {
  return painted(SIZE, SIZE, (x, y) => rule(x / PX, y / PX));
}

const inDisk: Rule = (x, y) => Math.hypot(x - 15, y - 15) < 8;
/** The disk's left half is dark; outside there are a dark half, below, and a speck of 2 mm. */
const dark: Rule = (x, y) =>
  inDisk(x, y) ? x < 15 : (y > 20 && y < 28 && x > 2 && x < 28) || Math.hypot(x - 24, y - 5) < 1;

/** A contour in every pixel of 0.5 mm. */
const contours = {
  width: 52,
  height: 52,
  factor: 5,
  pixelsPerMm: 2,
  weight: new Float32Array(52 * 52).fill(1),
};

function apart(settings: JobInput): (x: number, y: number) => number {
  const tone: Tone = { bitmap: bitmap(dark), mode: 'auto', why: 'One level.', contours };
  const subject = { mask: bitmap(inDisk), why: 'It was told apart.' };
  const set = applySubject(tone, subject, { pictureBox, pixelsPerMm: PX }, completeJob(settings));
  expect(set.why).toBe('One level. It was told apart.');
  return (x, y) => set.bitmap.data[Math.floor(y * PX) * SIZE + Math.floor(x * PX)];
}

describe('the background of a subject', () => {
  it('stays as it is where there is none', () => {
    const tone: Tone = { bitmap: bitmap(dark), mode: 'auto', why: 'One level.', contours };
    const none = { mask: undefined, why: '' };
    expect(applySubject(tone, none, { pictureBox, pixelsPerMm: PX }, completeJob({}))).toEqual(
      tone,
    );
  });

  it.each<[NonNullable<JobInput['background']>, number, number, number]>([
    ['film', 0, 0, 0],
    ['opening', 1, 1, 1],
    ['as-is', 1, 1, 0],
    ['plain', 0, 1, 0],
  ])('becomes %s, and the subject stays', (background, speck, mass, bare) => {
    const at = apart({ background });
    expect([at(10, 15), at(20, 15)]).toEqual([1, 0]);
    expect([at(24, 5), at(15, 25.5), at(5, 8)]).toEqual([speck, mass, bare]);
  });

  it('when it is left out leaves the contours of the subject to compare the print with', () => {
    const tone: Tone = { bitmap: bitmap(dark), mode: 'auto', why: '', contours };
    const subject = { mask: bitmap(inDisk), why: '' };
    const weightOf = (background: JobInput['background']) => {
      const job = completeJob({ background });
      const { weight } = applySubject(tone, subject, { pictureBox, pixelsPerMm: PX }, job).contours;
      return weight.reduce((sum, value) => sum + value, 0) / 4;
    };
    expect(weightOf('as-is')).toBe(26 * 26);
    expect(weightOf('film')).toBeGreaterThan(Math.PI * 8 ** 2);
    expect(weightOf('film')).toBeLessThan(Math.PI * 9.2 ** 2);
  });

  it('never reaches into the margin', () => {
    const at = apart({ background: 'opening', silhouette: 'hard' });
    for (const mm of [0.5, 1.9, 28.1, 29.5]) expect([at(mm, 15), at(15, mm)]).toEqual([0, 0]);
  });
});

describe('the line round a subject', () => {
  it('runs all the way round when it is hard, a little wider than can be cut', () => {
    const at = apart({ silhouette: 'hard', narrowestOpening: 1.5 });
    for (let degrees = 0; degrees < 360; degrees += 5) {
      const [x, y] = [Math.cos((degrees * Math.PI) / 180), Math.sin((degrees * Math.PI) / 180)];
      expect(at(15 + 7.3 * x, 15 + 7.3 * y), `${degrees}° inside`).toBe(1);
      expect(at(15 + 8.7 * x, 15 + 8.7 * y), `${degrees}° outside`).toBe(1);
      expect(at(15 + 9.1 * x, 15 + 9.1 * y), `${degrees}° beyond`).toBe(0);
    }
  });

  it('is left out when it is soft where dark meets light anyway', () => {
    const at = apart({ silhouette: 'soft' });
    expect([at(23.4, 15), at(22.5, 15)]).toEqual([1, 1]);
    expect([at(6.5, 15), at(7.5, 15)]).toEqual([0, 1]);
  });

  it('is film where the background is opening', () => {
    const at = apart({ background: 'opening', silhouette: 'hard' });
    expect([at(6.5, 15), at(7.5, 15), at(10, 15), at(4, 15)]).toEqual([0, 0, 1, 1]);
  });
});
