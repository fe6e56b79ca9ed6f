import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { factorRing, solveRing } from '../../src/geometry/ring.js';

describe('solveRing', () => {
  it('undoes the multiplication by any such matrix', () => {
    fc.assert(
      fc.property(
        fc.array(fc.tuple(fc.integer({ min: 0, max: 9 }), fc.integer({ min: -9, max: 9 })), {
          minLength: 6,
          maxLength: 30,
        }),
        (rows) => {
          const n = rows.length;
          const solution = rows.map(([, value]) => value);
          // I + Dᵀ W D, D being second differences round the ring.
          const bend = (v: readonly number[], i: number): number =>
            v[(i + n - 1) % n] - 2 * v[i] + v[(i + 1) % n];
          const multiply = (v: readonly number[]): number[] => {
            const weighted = rows.map(([weight], i) => weight * bend(v, i));
            return v.map((value, i) => value + bend(weighted, i));
          };
          const column = (j: number): number[] => multiply(rows.map((_, i) => Number(i === j)));
          const entry = (step: number) => (_: unknown, j: number) => column(j)[(j + step) % n];
          const factor = factorRing(
            Float64Array.from(rows, entry(0)),
            Float64Array.from(rows, entry(1)),
            Float64Array.from(rows, entry(2)),
          );
          const b = Float64Array.from(multiply(solution));
          solveRing(factor, b);
          b.forEach((value, i) => expect(value).toBeCloseTo(solution[i], 6));
        },
      ),
      { seed: 5, numRuns: 60 },
    );
  });
});
