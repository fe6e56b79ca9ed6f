import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import * as kernels from '../../src/kernels/generated.js';
import { kernelArrays } from '../../src/kernels/memory.js';

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
          const reals = [Float64Array, n] as const;
          const [diagonal, next, second, border, lastBorder, b] = kernelArrays(
            reals,
            reals,
            reals,
            reals,
            reals,
            reals,
          );
          diagonal.set(Array.from(rows, entry(0)));
          next.set(Array.from(rows, entry(1)));
          second.set(Array.from(rows, entry(2)));
          border.fill(0);
          lastBorder.fill(0);
          b.set(multiply(solution));
          const factor = [n, diagonal, next, second, border, lastBorder] as const;
          const closing = kernels.factorRing(...factor);
          kernels.solveRing(...factor, closing, b);
          b.forEach((value, i) => expect(value).toBeCloseTo(solution[i], 6));
        },
      ),
      { seed: 5, numRuns: 60 },
    );
  });
});
