import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import {
  dragged,
  cropSetting,
  largestShaped,
  shaped,
} from '../../../server/page/crop-rectangle.js';
import { completeJob } from '../../../src/index.js';

describe('the crop frame', () => {
  it('moves whole, up to the edge', () => {
    expect(dragged([10, 10, 60, 60], 'all', 20, -30)).toEqual([30, 0, 80, 50]);
    expect(dragged([10, 10, 60, 60], 'all', 90, 0)).toEqual([50, 10, 100, 60]);
  });

  it('follows the side or corner that is dragged', () => {
    expect(dragged([10, 10, 60, 60], 'e', 5, 50)).toEqual([10, 10, 65, 60]);
    expect(dragged([10, 10, 60, 60], 'nw', 5, 6)).toEqual([15, 16, 60, 60]);
    expect(dragged([10, 10, 60, 60], 'w', 49, 0)[0]).toBe(56);
  });

  it('is always a crop that the job takes', () => {
    const percent = fc.double({ min: -150, max: 150, noNaN: true });
    const grips = fc.constantFrom('all', 'n', 's', 'e', 'w', 'nw', 'ne', 'sw', 'se');
    fc.assert(
      fc.property(fc.array(fc.tuple(grips, percent, percent), { maxLength: 8 }), (moves) => {
        let frame = [0, 0, 100, 100] as Parameters<typeof dragged>[0];
        for (const [grip, dx, dy] of moves) frame = dragged(frame, grip, dx, dy);
        const text = cropSetting(frame);
        completeJob({ crop: text ?? null });
        const [left, top, width, height] = (text ?? '0,0,100,100').split(',').map(Number);
        expect(Math.min(width, height)).toBeGreaterThan(3.5);
        expect(Math.max(left + width, top + height)).toBeLessThanOrEqual(100 + 1e-9);
      }),
    );
  });
});

describe('a frame with a shape of its own', () => {
  it.each([
    ['se', [10, 10, 60, 90], 1, [10, 10, 60, 60]],
    ['nw', [40, 50, 90, 90], 2, [40, 65, 90, 90]],
    ['e', [10, 40, 50, 60], 1, [10, 30, 50, 70]],
    ['s', [40, 10, 60, 50], 0.5, [40, 10, 60, 50]],
    // No further than the picture goes.
    ['se', [50, 50, 100, 60], 0.5, [50, 50, 75, 100]],
  ] as const)('dragged by %s stays so', (what, edges, ratio, wanted) => {
    expect(shaped(edges, what, ratio)).toEqual(wanted);
  });

  it('is as large as fits', () => {
    expect(largestShaped([0, 0, 100, 50], 1)).toEqual([25, 0, 75, 50]);
  });
});
