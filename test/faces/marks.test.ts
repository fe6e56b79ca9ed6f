import { describe, expect, it } from 'vitest';
import { gapOf } from '../../src/faces/feature-marks.js';
import type { Bitmap } from '../../src/raster/raster.js';
import { randomPicture } from '../support/random-pictures.js';

/** Every pair of pixels of two marks. */
function nearestPair(a: Bitmap, b: Bitmap): number {
  let least = Infinity;
  for (let i = 0; i < a.data.length; i++) {
    for (let k = 0; a.data[i] === 1 && k < b.data.length; k++) {
      if (b.data[k] === 0) continue;
      const across = (i % a.width) - (k % b.width);
      const down = Math.floor(i / a.width) - Math.floor(k / b.width);
      least = Math.min(least, Math.hypot(across, down));
    }
  }
  return least;
}

describe('the gap between two marks', () => {
  const dot = (x: number, y: number): Bitmap => {
    const data = new Uint8Array(30 * 30);
    data[y * 30 + x] = 1;
    return { width: 30, height: 30, data };
  };
  const blobs = randomPicture('blobs', 5, 30, 2);

  it.each([
    [dot(0, 0), dot(29, 29)],
    [dot(4, 7), dot(4, 7)],
    [blobs, dot(28, 1)],
    [dot(15, 15), blobs],
  ])('is that of their nearest pixels, none beyond what is asked for', (a, b) => {
    const gap = nearestPair(a, b);
    expect(gapOf(a, b, 60)).toBeCloseTo(gap, 5);
    expect(gapOf(a, b, gap / 2)).toBe(gap === 0 ? 0 : Infinity);
  });
});
