import { describe, expect, it } from 'vitest';
import { coverage } from '../../src/geometry/coverage.js';
import { clampedToBox } from '../../src/geometry/box-clamp.js';
import { circle } from '../support/openings.js';

describe('keptIn', () => {
  const box = { left: 2, top: 2, right: 18, bottom: 18 };

  it('leaves what lies inside as it is', () => {
    const inside = circle(10, 10, 8);
    expect(clampedToBox(inside, box)).toBe(inside);
  });

  it('takes back what bulges out, and nothing else', () => {
    const bulging = circle(10, 10.3, 8);
    const kept = clampedToBox(bulging, box);
    const before = coverage([{ outer: bulging, holes: [] }], 200, 200, 10).data;
    const after = coverage([{ outer: kept, holes: [] }], 200, 200, 10).data;
    for (let y = 0; y < 200; y++) {
      const row = after.subarray(y * 200, (y + 1) * 200);
      // The half of a tenth that is left beyond the side covers under half of a pixel.
      if (y >= 180)
        expect(row.every((covered) => covered < 128 && (y === 180 || covered === 0))).toBe(true);
      if (y < 100) expect([...row]).toEqual([...before.subarray(y * 200, (y + 1) * 200)]);
    }
  });
});
