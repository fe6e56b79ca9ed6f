import { describe, expect, it } from 'vitest';
import { remnantsOf } from '../../src/lettering/remnants.js';

/** A bar of 10 by 3. */
const bar = Float64Array.of(0, 0, 10, 0, 10, 3, 0, 3);
const left = remnantsOf([bar], 1.5, (u) => (u > 0 && u < 10 ? [[0, 3]] : []));
const strip = (from: number): Parameters<typeof left>[0] => [
  { across: [from, from + 2], along: [-1, 4] },
];

describe('what strips leave that is too thin', () => {
  it('is little more than corners in the middle of a bar', () => {
    // A disk of 0.675 leaves (1 - π/4) r² of each of eight corners; one drawn with pixels, more.
    const corners = 8 * (1 - Math.PI / 4) * 0.675 ** 2;
    expect(left(strip(4))).toBeGreaterThan(0.5 * corners);
    expect(left(strip(4))).toBeLessThan(2 * corners);
  });

  it('is the end of a bar that is cut too near to it', () => {
    // 0.8 by 3 holds no disk of 1.35 across.
    expect(left(strip(7.2)) - left(strip(4))).toBeCloseTo(0.8 * 3 - 0.4, 0);
  });
});
