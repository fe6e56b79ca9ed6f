import { describe, expect, it } from 'vitest';
import { edgeLevel } from '../../src/raster/edge-level.js';
import type { Field } from '../../src/raster/field.js';
import { seeded } from '../support/bitmaps.js';

const SIZE = 60;
const ANYTHING = { least: 0.02, most: 0.98 };
const NO_PREFERENCE = 1e6;

const field = (value: (x: number, y: number) => number): Field => ({
  width: SIZE,
  height: SIZE,
  data: Float32Array.from({ length: SIZE * SIZE }, (_, i) => value(i % SIZE, Math.floor(i / SIZE))),
});

/** A dark square, 20, on a ground that goes slowly from 90 to 210. */
const square = field((x, y) => (x > 15 && x < 40 && y > 15 && y < 40 ? 20 : 90 + 2 * x));

describe('edgeLevel', () => {
  it('leaves a slope whole and takes the outline of what stands before it', () => {
    const level = edgeLevel(square, ANYTHING, 150, NO_PREFERENCE);
    expect(level).toBeGreaterThan(20);
    expect(level).toBeLessThanOrEqual(90 + 2 * 16);
    expect(square.data.filter((value) => value < level).length).toBeLessThan(24 * 24 * 1.6);
  });

  it('is the level with the largest average step, found by trying all of them', () => {
    const random = seeded(8);
    const noise = field(() => Math.floor(255 * random()));
    const step = (level: number): number => {
      let [sum, count] = [0, 0];
      for (let at = level - 4; at <= level + 4; at++) {
        for (let i = 0; i < SIZE * SIZE; i++) {
          for (const j of [
            i % SIZE < SIZE - 1 ? i + 1 : i,
            i + SIZE < SIZE * SIZE ? i + SIZE : i,
          ]) {
            const [a, b] = [noise.data[i], noise.data[j]];
            if (a < at === b < at) continue;
            sum += Math.abs(a - b);
            count++;
          }
        }
      }
      return sum / count;
    };
    const level = edgeLevel(noise, { least: 0.4, most: 0.6 }, 128, NO_PREFERENCE);
    const tried = Array.from({ length: 256 }, (_, at) => at).filter((at) => {
      const below = noise.data.filter((value) => value < at).length / noise.data.length;
      return below >= 0.4 && below <= 0.6;
    });
    expect(tried).toContain(level);
    expect(step(level)).toBeCloseTo(Math.max(...tried.map(step)), 3);
  });

  it('keeps within the shares that may be dark', () => {
    const level = edgeLevel(square, { least: 0.5, most: 0.6 }, 0, NO_PREFERENCE);
    const share = square.data.filter((value) => value < level).length / square.data.length;
    expect(share).toBeGreaterThanOrEqual(0.5);
    expect(share).toBeLessThanOrEqual(0.6);
  });

  it('stays near the level that is preferred when the leeway is small', () => {
    expect(Math.abs(edgeLevel(square, ANYTHING, 160, 2) - 160)).toBeLessThan(12);
  });

  it('returns the level that is preferred for an even picture', () => {
    expect(
      edgeLevel(
        field(() => 100),
        ANYTHING,
        77.4,
        60,
      ),
    ).toBe(77);
  });
});
