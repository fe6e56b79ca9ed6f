import { describe, expect, it } from 'vitest';
import { completeJob, type JobInput } from '../../src/settings/job.js';
import { withoutScannerLid } from '../../src/stages/tone/scanner-lid.js';
import type { Tone } from '../../src/stages/tone/tone.js';
import {
  contours,
  pictureBox,
  PX_PER_MM as PX,
  sheetOf,
  type Rule,
} from '../support/framed-sheet.js';

function left(rule: Rule, settings: JobInput = {}, isDrawing = true): Tone {
  const told: Tone = { bitmap: sheetOf(rule), mode: 'auto', why: 'One level.', contours };
  return withoutScannerLid(told, { pictureBox, pixelsPerMm: PX }, completeJob(settings), () => isDrawing); // prettier-ignore
}

/** A ring in the middle of the paper. */
const drawing: Rule = (x, y) => Math.abs(Math.hypot(x - 30, y - 30) - 10) < 1;
const both =
  (...rules: readonly Rule[]): Rule =>
  (x, y) =>
    rules.some((rule) => rule(x, y));

const beyond: Readonly<Record<string, Rule>> = {
  'two rounded corners': (x, y) =>
    (x < 12 && y < 12 && Math.hypot(x - 12, y - 12) > 12) ||
    (x > 46 && y > 46 && Math.hypot(x - 46, y - 46) > 14),
  'the shadow in four corners': (x, y) => Math.hypot(x - 30, y - 30) > 36,
  'the table on all sides': (x, y) => x < 4 || y < 2 || x > 58 || y > 57,
  'an edge on one side': (x) => x < 4,
  'a sheet that lies askew': (x, y) => x < 4 - 0.05 * y || y > 59 - 0.05 * x,
};

const drawnThings: Readonly<Record<string, Rule>> = {
  'a row of houses': (x, y) => y > (Math.floor(x / 8) % 2 === 0 ? 54 : 57),
  'leaves down a side': (x, y) => x < 2 + 4 * (Math.floor(y / 8) % 2),
  'the ground': (_, y) => y > 56,
  'a branch in a corner': (x, y) =>
    x < 7 && y < 7 && Math.hypot((x % 3) - 1.5, (y % 3) - 1.5) < 1.9,
  'a light disc on a dark ground': (x, y) => Math.hypot(x - 30, y - 30) > 29.8,
  'a frame': (x, y) => Math.min(x, y, 60 - x, 60 - y) < 3,
  'a hill, deep': (x, y) => x + y < 26,
  'a line that runs out of the picture': (x, y) => Math.abs(x - y) < 1 && x < 25,
};

describe('what a scan has beyond its paper', () => {
  it.each(Object.entries(beyond))('is film, and told: %s', (_, rule) => {
    const { bitmap, why, contours: remaining } = left(both(rule, drawing));
    expect(Buffer.compare(bitmap.data, sheetOf(drawing).data)).toBe(0);
    expect(why).toMatch(/^One level\. Dark corners or edges .* of the scan/);
    // Its outline is not missed in the print; the drawing's is.
    expect(remaining.weight[20 * 60 + 30]).toBe(1);
    expect(remaining.weight.filter((value) => value === 0).length).toBeGreaterThan(10);
  });

  it.each(Object.entries(drawnThings))('is not what is drawn: %s', (_, rule) => {
    const kept = left(both(rule, drawing)).bitmap.data;
    expect(Buffer.compare(kept, sheetOf(both(rule, drawing)).data)).toBe(0);
  });

  it('goes beside what runs out of the picture', () => {
    const line = drawnThings['a line that runs out of the picture'];
    const { bitmap } = left(both((x) => x > 57, line, drawing));
    expect(Buffer.compare(bitmap.data, sheetOf(both(line, drawing)).data)).toBe(0);
  });

  it('stays in a photograph, where a tone is asked for, and where light is cut', () => {
    const rule = both(beyond['an edge on one side'], drawing);
    const all = [left(rule, {}, false), left(rule, { tone: 'auto' }), left(rule, { swap: true })];
    for (const { bitmap, why } of all) {
      expect(Buffer.compare(bitmap.data, sheetOf(rule).data)).toBe(0);
      expect(why).toBe('One level.');
    }
  });
});
