import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { completeJob } from '../../src/settings/job.js';
import { squaredDistance } from '../../src/raster/distance.js';
import { labelRegions } from '../../src/raster/labels.js';
import type { Bitmap } from '../../src/raster/raster.js';
import { widen } from '../../src/stages/widen/widen.js';
import { above, painted } from '../support/bitmaps.js';
import { randomKinds, randomPicture } from '../support/random-pictures.js';

const job = completeJob({});
const PIXELS_PER_MM = 10;
const SIZE = 400;
const MARGIN = 60;

const widened = (bitmap: Bitmap): ReturnType<typeof widen> => widen(bitmap, PIXELS_PER_MM, job);

/** What is left of a bump beyond a slight waist does not count as a part of its own, in px. */
const BUMP_PX = 25;

/** By region of one value, the number of parts left of it when a strip of `px` must fit through. */
function partsLeft(bitmap: Bitmap, value: 0 | 1, px: number): readonly number[] {
  const squared = squaredDistance(bitmap, value === 1 ? 0 : 1);
  const core = above(squared, bitmap, (px / 2 - 1) ** 2);
  const whole = labelRegions(bitmap, value, value === 1 ? 8 : 4);
  const cores = labelRegions(core, 1, 8);
  const parts = new Array<number>(whole.count).fill(0);
  const small = new Array<number>(whole.count).fill(0);
  for (let label = 1; label <= cores.count; label++) {
    const region = whole.labels[cores.labels.indexOf(label)] - 1;
    if (cores.areas[label] >= BUMP_PX) parts[region]++;
    else small[region] = 1;
  }
  return parts.map((count, region) => count || small[region]);
}

const cases: Readonly<Record<string, (x: number, y: number) => boolean>> = {
  'a square': (x, y) => Math.max(Math.abs(x - 200), Math.abs(y - 200)) < 70,
  'a square on its corner': (x, y) => Math.abs(x - 200) + Math.abs(y - 200) < 90,
  'a slanted square': (x, y) =>
    Math.max(
      Math.abs((x - 200) * 0.9 + (y - 200) * 0.44),
      Math.abs((y - 200) * 0.9 - (x - 200) * 0.44),
    ) < 60,
  'a disc': (x, y) => Math.hypot(x - 200, y - 200) < 80,
  'a small disc': (x, y) => Math.hypot(x - 200, y - 200) < 12,
  'a ring': (x, y) => Math.abs(Math.hypot(x - 200, y - 200) - 60) < 9,
  'an island of film': (x, y) =>
    Math.hypot(x - 200, y - 200) < 90 && Math.hypot(x - 200, y - 200) > 30,
  'a triangle of 60°': (x, y) => y > 120 && y < 260 && Math.abs(x - 200) < (y - 120) * 0.57735,
  'a spike of 30°': (x, y) => y > 110 && y < 280 && Math.abs(x - 200) < (y - 110) * 0.26795,
  'bars just wide enough': (x, y) =>
    y > 100 && y < 300 && x > 100 && x < 301 && (x - 100) % 31 < 15,
  'a cross': (x, y) =>
    Math.min(Math.abs(x - 200), Math.abs(y - 200)) < 10 &&
    Math.max(Math.abs(x - 200), Math.abs(y - 200)) < 100,
};

describe('widen', () => {
  it.each(Object.entries(cases))('lets %s through pixel for pixel', (_, inside) => {
    const bitmap = painted(SIZE, SIZE, inside);
    expect(Buffer.compare(widened(bitmap).bitmap.data, bitmap.data)).toBe(0);
  });

  it('widens a thin line to the limit where it lies', () => {
    const line = painted(SIZE, SIZE, (x, y) => Math.abs(y - 200) < 2 && x > 100 && x < 300);
    const { bitmap } = widened(line);
    for (let x = 110; x < 290; x++) {
      let height = 0;
      for (let y = 0; y < SIZE; y++) height += bitmap.data[y * SIZE + x];
      expect(height).toBeGreaterThanOrEqual(15);
      expect(height).toBeLessThanOrEqual(19);
    }
    expect(bitmap.data[200 * SIZE + 80]).toBe(0);
  });

  it('widens a thin strip of film between two openings', () => {
    const halves = painted(
      SIZE,
      SIZE,
      (x, y) => Math.abs(y - 200) > 3 && Math.abs(y - 200) < 80 && x > 100 && x < 300,
    );
    const { bitmap } = widened(halves);
    const column = Array.from({ length: SIZE }, (_, y) => bitmap.data[y * SIZE + 200]);
    const gap = column.slice(150, 250).filter((value) => value === 0).length;
    expect(gap).toBeGreaterThanOrEqual(16);
    expect(gap).toBeLessThanOrEqual(20);
  });

  it('drops specks and tells how many', () => {
    const specks = painted(
      SIZE,
      SIZE,
      (x, y) =>
        Math.hypot(x - 100, y - 100) < 5 ||
        Math.hypot(x - 200, y - 100) < 5 ||
        Math.hypot(x - 200, y - 250) < 60,
    );
    const result = widened(specks);
    expect(result.specksDropped).toBe(2);
    expect(labelRegions(result.bitmap, 1, 8).count).toBe(1);
  });

  it('cuts away specks of film and tells how many', () => {
    const dotted = painted(
      SIZE,
      SIZE,
      (x, y) => Math.hypot(x - 200, y - 200) < 90 && Math.hypot(x - 180, y - 200) > 6,
    );
    const result = widened(dotted);
    expect(result.islandsDropped).toBe(1);
    expect(labelRegions(result.bitmap, 0, 4).count).toBe(1);
  });

  it('keeps a line at the edge of the picture inside the margin', () => {
    const edge = painted(SIZE, SIZE, (x, y) => x > MARGIN && x < MARGIN + 3 && y > 100 && y < 300);
    const { bitmap } = widened(edge);
    const row = bitmap.data.subarray(200 * SIZE, 201 * SIZE);
    expect(row.subarray(0, MARGIN).every((value) => value === 0)).toBe(true);
    expect(row.filter((value) => value === 1).length).toBeGreaterThanOrEqual(15);
  });

  it.each(randomKinds)(
    'leaves nothing too thin, and nothing to do a second time, in %s',
    (kind) => {
      fc.assert(
        fc.property(fc.integer({ min: 0, max: 1e6 }), (seed) => {
          const { bitmap } = widened(randomPicture(kind, seed, SIZE, MARGIN));
          const again = widened(bitmap);
          expect(Buffer.compare(again.bitmap.data, bitmap.data)).toBe(0);
          expect(new Set(partsLeft(bitmap, 0, 16))).toEqual(new Set([1]));
          expect(partsLeft(bitmap, 1, 15).every((parts) => parts === 1)).toBe(true);
          expect(bitmap.data.subarray(0, SIZE * MARGIN).includes(1)).toBe(false);
        }),
        { seed: 5, numRuns: 25 },
      );
    },
  );
});
