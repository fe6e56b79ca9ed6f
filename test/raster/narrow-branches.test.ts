import { describe, expect, it } from 'vitest';
import { narrowBranches } from '../../src/raster/narrow-branches.js';
import { painted } from '../support/bitmaps.js';

const SIDE = 120;
const LONG = 80;

/** A line through the middle, so many px wide, at so many degrees. */
function lineAt(degrees: number, wide: number) {
  const [cos, sin] = [Math.cos((degrees * Math.PI) / 180), Math.sin((degrees * Math.PI) / 180)];
  return painted(SIDE, SIDE, (px, py) => {
    const [x, y] = [px + 0.5 - SIDE / 2, py + 0.5 - SIDE / 2];
    return Math.abs(y * cos - x * sin) < wide / 2 && Math.abs(x * cos + y * sin) < LONG / 2;
  });
}

/** How far from one end to the other the centrelines of what is thin reach, in px. */
function reachOf(bitmap: ReturnType<typeof lineAt>, degrees: number): number {
  const whole = { x: 0, y: 0, width: SIDE, height: SIDE };
  const [cos, sin] = [Math.cos((degrees * Math.PI) / 180), Math.sin((degrees * Math.PI) / 180)];
  const along = narrowBranches(bitmap, 1, 8, whole, whole).flatMap(({ pixels }) =>
    Array.from(pixels, (i) => (i % SIDE) * cos + Math.floor(i / SIDE) * sin),
  );
  return Math.max(...along) - Math.min(...along);
}

describe('the centreline of a line thinner than it should be', () => {
  it.each([0, 20, 43, 44, 44.5, 45, 45.5, 46, 47, 70])(
    'is as long as the line, whatever its width, at %s degrees',
    (degrees) => {
      for (const wide of [2, 3, 4, 5, 5.66, 6, 7, 8, 8.5, 10]) {
        // Half the width goes at each end.
        const least = LONG - wide - 6;
        expect(reachOf(lineAt(degrees, wide), degrees), `${wide} px`).toBeGreaterThan(least);
      }
    },
  );
});
