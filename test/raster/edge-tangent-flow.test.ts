import { describe, expect, it } from 'vitest';
import type { Field } from '../../src/raster/field.js';
import { blurAlong, edgeTangentFlow } from '../../src/raster/edge-tangent-flow.js';

const SIZE = 96;

const field = (value: (x: number, y: number) => number): Field => ({
  width: SIZE,
  height: SIZE,
  data: Float32Array.from({ length: SIZE * SIZE }, (_, i) => value(i % SIZE, Math.floor(i / SIZE))),
});

/** Parallel waves that run at an angle. */
const waves = (angle: number): Field =>
  field((x, y) => 127 + 100 * Math.sin((y * Math.cos(angle) - x * Math.sin(angle)) / 3));

describe('flowOf', () => {
  it.each([0, 30, 45, 90, 120, 165])('runs along waves at %i°', (degrees) => {
    const angle = (degrees * Math.PI) / 180;
    const flow = edgeTangentFlow(waves(angle), 4, 1);
    for (let y = 20; y < 76; y += 7) {
      for (let x = 20; x < 76; x += 7) {
        const i = y * SIZE + x;
        const along = flow.x[i] * Math.cos(angle) + flow.y[i] * Math.sin(angle);
        expect(Math.abs(along)).toBeGreaterThan(Math.cos((3 * Math.PI) / 180));
      }
    }
  });
});

describe('blurAlong', () => {
  const dashed = (x: number, y: number): number => (Math.abs(y - 48) < 3 && x % 16 > 3 ? 0 : 255);

  it('closes gaps in a line and leaves its width', () => {
    const picture = field(dashed);
    const blurred = blurAlong(picture, edgeTangentFlow(picture, 6, 2), 8);
    const dark = (x: number, y: number): boolean => blurred.data[y * SIZE + x] < 127;
    for (let x = 20; x < 76; x++) {
      const width = Array.from({ length: SIZE }, (_, y) => dark(x, y)).filter(Boolean).length;
      expect(dark(x, 48)).toBe(true);
      expect(width).toBeGreaterThanOrEqual(3);
      expect(width).toBeLessThanOrEqual(7);
    }
  });

  it('leaves an even picture even', () => {
    const even = field(() => 33);
    for (const value of blurAlong(even, edgeTangentFlow(even, 3, 1), 5).data) {
      expect(value).toBeCloseTo(33, 3);
    }
  });
});
