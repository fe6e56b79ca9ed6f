import { describe, expect, it } from 'vitest';
import { completeJob } from '../../src/settings/job.js';
import type { Bitmap } from '../../src/raster/raster.js';
import { advise, type Advice } from '../../src/stages/advice/advice.js';
import { survival, type Survival } from '../../src/stages/survival/survival.js';
import { widen } from '../../src/stages/widen/widen.js';

const SIZE = 600;
const PX = 10;
const MARGIN_MM = 6;

type Disk = readonly [x: number, y: number, radius: number];

/** A bitmap of 60 × 60 mm: dark in the disks, and light again where two of them overlap. */
function bitmap(disks: readonly Disk[]): Bitmap {
  const data = new Uint8Array(SIZE * SIZE);
  for (let i = 0; i < data.length; i++) {
    const [u, v] = [((i % SIZE) + 0.5) / PX, (Math.floor(i / SIZE) + 0.5) / PX];
    data[i] = disks.reduce((odd, [x, y, r]) => odd ^ Number(Math.hypot(u - x, v - y) < r), 0);
  }
  return { width: SIZE, height: SIZE, data };
}

const job = completeJob({ card: '60x60mm' });
const picture = {
  pictureBox: { x: 60, y: 60, width: 480, height: 480 },
  shows: { x: 0.1, y: 0.2, width: 0.8, height: 0.6 },
  pixelsPerMm: PX,
};

function count(disks: readonly Disk[], sizeAdvice = false): Omit<Survival, 'counted'> & Advice {
  const tone = bitmap(disks);
  const finish = (coarse: Bitmap, pixelsPerMm: number, smaller: number): Bitmap =>
    widen(coarse, pixelsPerMm, {
      ...job,
      narrowestOpening: job.narrowestOpening / smaller,
      narrowestStrip: job.narrowestStrip / smaller,
      smallestOpening: job.smallestOpening / smaller ** 2,
      smallestIsland: job.smallestIsland / smaller ** 2,
      margin: MARGIN_MM / 100,
    }).bitmap;
  const widened = widen(tone, PX, job).bitmap;
  const { counted, ...told } = survival(tone, widened, picture, { sizeAdvice, regionEdits: [] });
  return { ...told, ...advise({ ...told, counted }, picture, finish) };
}

const LARGE: readonly Disk[] = [
  [15, 15, 5],
  [30, 15, 5],
  [45, 15, 5],
  [15, 30, 5],
];
/** Dots of 1.13 mm²: they are 3 mm², the smallest that can be cut, at √(3 / 1.13) = 1.63 times the size. */
const DOTS: readonly Disk[] = [
  [42, 42, 0.6],
  [46, 42, 0.6],
  [42, 46, 0.6],
  [46, 46, 0.6],
];

describe('survival', () => {
  it('keeps all where nothing is too small', () => {
    expect(count(LARGE)).toEqual({
      notable: false,
      parts: 4,
      dropped: 0,
      merged: 0,
      lost: [],
      enlargement: null,
      crop: null,
    });
  });

  it('counts what is dropped, says where, and how large the card would have to be', () => {
    const found = count([...LARGE, ...DOTS]);
    expect(found).toMatchObject({ notable: true, parts: 8, dropped: 4, merged: 0 });
    expect(found.enlargement).toBe(2);
    // The same picture drawn larger, instead of looked at with smaller limits.
    const drawnLarger = (times: number): Advice & { dropped: number } =>
      count([[15, 15, 5 * times], [40, 40, 0.6 * times]]); // prettier-ignore
    expect(drawnLarger(1.6).dropped).toBe(1);
    expect(drawnLarger(2).dropped).toBe(0);
    expect(found.lost).toHaveLength(4);
    for (const [x, y] of DOTS) {
      const near = found.lost.some(({ at }) => Math.hypot(at[0] - x, at[1] - y) < 1);
      expect(near, `${x}, ${y}`).toBe(true);
    }
    for (const { fate, areaMm2 } of found.lost) {
      expect(fate).toBe('dropped');
      expect(areaMm2).toBeCloseTo(Math.PI * 0.6 ** 2, 0);
    }
  });

  it('counts light parts, and those that run together', () => {
    // A ring whose hole is too small to hold, beside two disks with a strip between them that is too thin to hold.
    const found = count([[20, 20, 6], [20, 20, 1], [40, 20, 5], [50.1, 20, 5], [20, 40, 5]], true); // prettier-ignore
    expect(found.parts).toBe(5);
    expect(found.dropped).toBe(1);
    const [lost] = found.lost;
    expect(Math.hypot(lost.at[0] - 20, lost.at[1] - 20)).toBeLessThan(1.5);
  });

  it('offers the crop that keeps more than the whole picture does, in percent of all of it', () => {
    const many = Array.from({ length: 16 }, (_, k): Disk => [40 + 3 * (k % 4), 40 + 3 * Math.floor(k / 4), 0.6]); // prettier-ignore
    const found = count([...LARGE.slice(0, 2), ...many]);
    expect(found.crop?.kept).toBeGreaterThanOrEqual(16);
    const [left, top, width, height] = (found.crop?.box ?? '').split(',').map(Number);
    // The dots lie at 34 to 43 mm of the 48 that are shown, across and down.
    const inShown = (mm: number, start: number, size: number) => start + (mm / 48) * size;
    expect(left).toBeLessThanOrEqual(inShown(33.4, 10, 80));
    expect(left + width).toBeGreaterThanOrEqual(inShown(43.6, 10, 80));
    expect(top).toBeLessThanOrEqual(inShown(33.4, 20, 60));
    expect(top + height).toBeGreaterThanOrEqual(inShown(43.6, 20, 60));
    expect(left + width).toBeLessThanOrEqual(100);
    expect(top + height).toBeLessThanOrEqual(100);
  });

  it('looks for a larger card only where many are lost, or when it is asked to', () => {
    const few: readonly Disk[] = [...LARGE, [45, 45, 0.6]];
    expect(count(few)).toMatchObject({ notable: false, dropped: 1, enlargement: null });
    expect(count(few, true)).toMatchObject({ notable: true, dropped: 1, enlargement: 2 });
  });
});
