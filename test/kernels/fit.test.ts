import { describe, expect, it } from 'vitest';
import { pointAt } from '../../src/geometry/cubic.js';
import * as kernels from '../../src/kernels/generated.js';
import { kernelArrays } from '../../src/kernels/memory.js';
import { tightestBend } from '../support/outlines.js';

const COUNT = 41;

/** Points from 0 to `last`, the directions at both ends, and whether these are only a first guess. */
interface Run {
  readonly x: readonly number[];
  readonly y: readonly number[];
  readonly last: number;
  readonly leaveX: number;
  readonly leaveY: number;
  readonly arriveX: number;
  readonly arriveY: number;
  readonly isFree: boolean;
}

function runOf(place: (t: number) => readonly [number, number], isFree = false): Run {
  const places = Array.from({ length: COUNT }, (_, i) => place(i / (COUNT - 1)));
  const x = places.map(([value]) => value);
  const y = places.map(([, value]) => value);
  const way = (a: number, b: number): number => Math.atan2(y[b] - y[a], x[b] - x[a]);
  const [leave, arrive] = [way(0, 1), way(COUNT - 2, COUNT - 1)];
  return {
    x,
    y,
    last: COUNT - 1,
    leaveX: Math.cos(leave),
    leaveY: Math.sin(leave),
    arriveX: Math.cos(arrive),
    arriveY: Math.sin(arrive),
    isFree,
  };
}

function fitted({ last, leaveX, leaveY, arriveX, arriveY, isFree, ...run }: Run): Float64Array {
  const points = [Float64Array, COUNT] as const;
  const [x, y, t, cubic] = kernelArrays(points, points, points, [Float64Array, 8]);
  x.set(run.x);
  y.set(run.y);
  const free = Number(isFree);
  kernels.fitCubic(x, y, last, leaveX, leaveY, arriveX, arriveY, free, 20, cubic, t);
  return cubic.slice();
}

describe('fitCubic', () => {
  it.each([false, true])('runs through points that lie on a cubic (ends free: %s)', (free) => {
    const cubic = [0, 0, 3, 4, 7, 5, 10, 1];
    const found = fitted(runOf((t) => pointAt(cubic, t), free));
    const along = Array.from({ length: 1001 }, (_, k) => pointAt(found, k / 1000));
    for (let k = 0; k <= 20; k++) {
      const [x, y] = pointAt(cubic, k / 20);
      const off = along.map(([px, py]) => Math.hypot(px - x, py - y));
      expect(Math.min(...off)).toBeLessThan(0.03); // the given directions are chords'
    }
  });

  it('comes within 0.03 % of a quarter circle, as the best cubic does', () => {
    // Goldapp 1991, "Approximation of circular arcs by cubic polynomials": 2.7e-4 for a quarter of a unit circle.
    const quarter = runOf((t) => [
      10 * Math.cos((t * Math.PI) / 2),
      10 * Math.sin((t * Math.PI) / 2),
    ]);
    const exact = { ...quarter, leaveX: 0, leaveY: 1, arriveX: -1, arriveY: 0 };
    const cubic = fitted(exact);
    for (let k = 0; k <= 20; k++) {
      expect(Math.abs(Math.hypot(...pointAt(cubic, k / 20)) / 10 - 1)).toBeLessThan(4e-4);
    }
    expect(tightestBend(cubic, 20)).toBeCloseTo(0.1, 2);
  });

  it('keeps to a line', () => {
    const cubic = fitted(runOf((t) => [4 * t, 3 * t]));
    expect(cubic[2] * 3 - cubic[3] * 4).toBeCloseTo(0, 9);
    expect(cubic[4] * 3 - cubic[5] * 4).toBeCloseTo(0, 9);
    expect(tightestBend(cubic, 20)).toBeCloseTo(0, 9);
  });

  it('makes an arc of two points and their directions', () => {
    const run = { ...runOf((t) => [t, 0]), last: 1 };
    const [c, s] = [Math.cos(0.3), Math.sin(0.3)];
    const cubic = fitted({ ...run, leaveX: c, leaveY: -s, arriveX: c, arriveY: s });
    const radius = run.x[1] / 2 / s;
    expect(tightestBend(cubic, 20) * radius).toBeCloseTo(1, 1);
  });
});
