import sharp from 'sharp';
import { describe, expect, it } from 'vitest';
import { completeJob } from '../../src/settings/job.js';
import { sheetAspect, type SheetCorners } from '../../src/settings/sheet-aspect.js';
import { readPicture } from '../../src/stages/read/read.js';
import { seeded } from '../support/bitmaps.js';
import { camera, photographOfRing, PICTURE, type Shot } from '../support/camera.js';

/** How many times too wide a sheet is taken for. */
const offBy = (shot: Shot): number => sheetAspect(camera(shot).corners, PICTURE) / shot.aspect;

/** What it would be by the mean length of opposite edges. */
function aspectByLengths([a, b, c, d]: SheetCorners): number {
  const apart = (p: readonly number[], q: readonly number[]) => Math.hypot(p[0] - q[0], p[1] - q[1]); // prettier-ignore
  return (apart(a, b) + apart(d, c)) / (apart(a, d) + apart(b, c));
}

// ISO 216: A4 is 210 by 297 mm. ANSI/ASME Y14.1: letter paper is 8.5 by 11 in. A sketchbook is often square.
const SHEETS = [210 / 297, 297 / 210, 8.5 / 11, 1];
/** A telephone's lens, a longer one and a wide one, in longer sides of the picture. */
const LENSES = [0.72, 1.4, 0.5];

describe('the shape of a sheet seen aslant', () => {
  it.each(SHEETS.flatMap((aspect) => LENSES.map((lens) => [aspect, lens] as const)))(
    'is that of the sheet, %f wide for its height, by a lens of %f, from several sides',
    (aspect, lens) => {
      for (const pitch of [20, 35, 50])
        for (const [yaw, roll] of [
          [12, 0],
          [-20, 5],
          [0, 30],
          [10, -40],
        ])
          expect(offBy({ aspect, lens, pitch, yaw, roll })).toBeCloseTo(1, 6);
    },
  );

  it('is near that of the sheet where it is seen straight from below by a lens that nobody knows', () => {
    for (const aspect of SHEETS)
      for (const pitch of [10, 20, 30, 40]) {
        const straight = { aspect, lens: 0.72, pitch, yaw: 0, roll: 0 };
        expect(Math.abs(offBy(straight) - 1)).toBeLessThan(0.02);
        // By side lengths an A4 sheet at 40 degrees came out a quarter too wide.
        const { corners } = camera(straight);
        if (pitch === 40) expect(aspectByLengths(corners) / aspect).toBeGreaterThan(1.2);
      }
  });

  it('is exact from straight above, by any lens', () => {
    for (const aspect of SHEETS)
      expect(offBy({ aspect, lens: 1.4, pitch: 0, yaw: 0, roll: 25 })).toBeCloseTo(1, 6);
  });

  it('stays with the side lengths where the corners are no sheet’s', () => {
    const flat = [[10, 10], [90, 10], [95, 12], [11, 12]] as const; // prettier-ignore
    expect(sheetAspect(flat, PICTURE)).toBeGreaterThan(20);
    const one = [[50, 50], [50, 50], [50, 50], [50, 50]] as const; // prettier-ignore
    expect(sheetAspect(one, PICTURE)).toBeNaN();
  });
});

/** Off by what share: the median and the 95th hundredth of 400 photographs by lenses of 22 to 40 mm, corners off by a thousandth. */
function spreadOf(pitch: number, isStraight: boolean, by: typeof sheetAspect) {
  const random = seeded(pitch + Number(isStraight));
  const about = (most: number) => (2 * random() - 1) * most;
  const errors = Array.from({ length: 400 }, () => {
    const aspect = SHEETS[Math.floor(random() * SHEETS.length)];
    const [yaw, roll] = isStraight ? [about(1.7), about(2.9)] : [about(17), about(40)];
    const shot = { aspect, lens: 0.62 + 0.5 * random(), pitch, yaw, roll };
    const off = 0.001 * PICTURE.width * Math.SQRT2;
    const corners = camera(shot).corners.map(([x, y]) => [x + about(off), y + about(off)] as const);
    return Math.abs(by(corners as unknown as SheetCorners, PICTURE) / aspect - 1);
  }).sort((a, b) => a - b);
  return [errors[200], errors[380]] as const;
}

it.each([20, 30, 40, 50])('is less off than by side lengths, %d degrees aslant', (pitch) => {
  const [straight, aslant] = [true, false].map((is) => [sheetAspect, aspectByLengths].map((by) => spreadOf(pitch, is, by))); // prettier-ignore
  expect(straight[0][0]).toBeLessThan(straight[1][0] / 2);
  expect(straight[0][1]).toBeLessThan(straight[1][1] / 1.5);
  expect(aslant[0][0]).toBeLessThan(aslant[1][0] / 5);
  expect(aslant[0][1]).toBeLessThan(aslant[1][1] / 1.5);
});

describe('a photograph of a sheet with a ring drawn on it', () => {
  it.each([
    { aspect: 210 / 297, lens: 0.72, pitch: 35, yaw: 0, roll: 0 },
    { aspect: 297 / 210, lens: 0.72, pitch: 45, yaw: 0, roll: 0 },
    { aspect: 1, lens: 0.72, pitch: 40, yaw: 15, roll: 12 },
  ])('is laid flat with a round ring: %o', async (shot) => {
    const { width, height } = PICTURE;
    const photo = await sharp(photographOfRing(shot), { raw: { width, height, channels: 1 } })
      .png()
      .toBuffer();
    const job = completeJob({ card: '70x70mm', fineness: 5 });
    const { gray } = await readPicture(photo, { ...job, page: 'find' });
    const xs: number[] = [];
    const ys: number[] = [];
    gray.data.forEach((value, i) => {
      if (value > 100) return;
      xs.push(i % gray.width);
      ys.push(Math.floor(i / gray.width));
    });
    const [wide, high] = [xs, ys].map((all) => 1 + Math.max(...all) - Math.min(...all));
    expect(wide).toBeGreaterThan(100);
    expect(Math.abs(wide / high - 1)).toBeLessThan(0.03);
  });
});
