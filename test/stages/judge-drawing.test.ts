import { describe, expect, it } from 'vitest';
import type { Bitmap } from '../../src/raster/raster.js';
import { completeJob } from '../../src/settings/job.js';
import { judgeDrawing } from '../../src/stages/tone/drawing.js';
import { groundOf } from '../../src/stages/tone/ground.js';

/*
 * What a viewer of a drawing misses is taken off a tone's score, each by itself: the same drawing with a part gone, an
 * inside filled, lines run together.
 */

const SIDE = 600;
const PIXELS_PER_MM = 10;

type Rule = (x: number, y: number) => boolean;
const bitmapOf = (isDark: Rule): Bitmap => ({
  width: SIDE,
  height: SIDE,
  data: Uint8Array.from({ length: SIDE * SIDE }, (_, i) =>
    isDark(i % SIDE, Math.floor(i / SIDE)) ? 1 : 0,
  ),
});
const dot =
  (x: number, y: number): Rule =>
  (u, v) =>
    Math.hypot(u - x, v - y) < 12;
const ring: Rule = (x, y) => Math.abs(Math.hypot(x - 400, y - 400) - 40) < 15;
const lines: Rule = (x, y) => x > 60 && x < 240 && y > 300 && y < 500 && x % 30 < 15;
const mass: Rule = (x, y) => x > 60 && x < 240 && y > 300 && y < 500;
const any =
  (...rules: readonly Rule[]): Rule =>
  (x, y) =>
    rules.some((rule) => rule(x, y));
const dots = [dot(100, 100), dot(200, 100), dot(300, 100), dot(400, 100)];

const WHOLE = any(...dots, ring, lines);

function scoreOf(tone: Rule, drawing: Rule = WHOLE): { score: number; plain: number } {
  const drawn = bitmapOf(drawing);
  const gray = { ...drawn, data: drawn.data.map((value) => 255 - 215 * value) };
  const picture = {
    gray,
    pictureBox: { x: 0, y: 0, width: SIDE, height: SIDE },
    pixelsPerMm: PIXELS_PER_MM,
    shows: { x: 0, y: 0, width: 1, height: 1 },
  };
  const ground = groundOf(picture, completeJob({}));
  const judge = (as: Bitmap) =>
    judgeDrawing({ tone: 'auto' }, bitmapOf(tone), as, picture, ground, (bitmap) => bitmap).score;
  // Judged against itself a tone misses nothing: what is left is the difference that the drawing makes.
  return { score: judge(drawn), plain: judge(bitmapOf(tone)) };
}

const taken = (tone: Rule): number => {
  const { score, plain } = scoreOf(tone);
  return plain - score;
};

describe('what is taken off the score of a drawing', () => {
  it('is nothing for the drawing itself', () => {
    expect(taken(WHOLE)).toBeCloseTo(0, 6);
  });

  it('is for parts that are gone, by their number: two small dots of four', () => {
    const [two, one] = [any(dots[0], dots[1], ring, lines), any(...dots.slice(1), ring, lines)];
    expect(taken(one)).toBeGreaterThan(0.01);
    expect(taken(two)).toBeCloseTo(2 * taken(one), 6);
  });

  it('is for insides that are filled', () => {
    const disc: Rule = (x, y) => Math.hypot(x - 400, y - 400) < 55;
    expect(taken(any(...dots, disc, lines))).toBeGreaterThan(0.02);
  });

  it('is for lines that have run to a mass, and not for what is dark in the drawing', () => {
    const run = taken(any(...dots, ring, mass));
    expect(run).toBeGreaterThan(0.05);
    const dark = any(...dots, ring, mass);
    const { score, plain } = scoreOf(dark, dark);
    expect(plain - score).toBeCloseTo(0, 6);
  });
});
