import { describe, expect, it } from 'vitest';
import { crowdedOut } from '../../src/raster/crowded.js';

const WIDTH = 60;
const HEIGHT = 12;
const MIDDLE = 6 * WIDTH;

/** Upright contours that get lighter to the right (1) or to the left (-1), and how strong each is. */
function upright(
  at: readonly { readonly x: number; readonly way: 1 | -1; readonly strong: number }[],
) {
  const weight = new Float32Array(WIDTH * HEIGHT);
  const across = new Float32Array(WIDTH * HEIGHT);
  const strength = new Float32Array(WIDTH * HEIGHT);
  for (let y = 1; y < HEIGHT - 1; y++) {
    for (const { x, way, strong } of at) {
      weight[y * WIDTH + x] = 1;
      across[y * WIDTH + x] = way * strong;
      strength[y * WIDTH + x] = strong;
    }
  }
  const down = new Float32Array(WIDTH * HEIGHT);
  const field = { width: WIDTH, height: HEIGHT, data: weight };
  const crowded = crowdedOut(field, { across, down, strength }, 10);
  return at.filter(({ x }) => crowded[MIDDLE + x] === 0).map(({ x }) => x);
}

const rising = (x: number, strong: number) => ({ x, way: 1, strong }) as const;
const falling = (x: number, strong: number) => ({ x, way: -1, strong }) as const;

// Room for an opening and a strip is 10 px here. What is left was worked out by hand.
describe('crowdedOut', () => {
  it('leaves the stronger of two that get lighter the same way', () => {
    expect(upright([rising(20, 2), rising(28, 3)])).toEqual([28]);
    expect(upright([rising(20, 3), rising(28, 2)])).toEqual([20]);
  });

  it('leaves both where there is room, or where they are the two sides of a line', () => {
    expect(upright([rising(20, 2), rising(32, 3)])).toEqual([20, 32]);
    expect(upright([rising(20, 2), falling(24, 3)])).toEqual([20, 24]);
  });

  it('lets what is crowded out crowd nothing out itself', () => {
    expect(upright([rising(10, 1), rising(18, 2), rising(26, 3)])).toEqual([10, 26]);
  });

  it('leaves every second one of stripes that are too fine', () => {
    const stripes = [8, 12, 16, 20, 24, 28, 32, 36].map((x, k) =>
      k % 2 === 0 ? rising(x, 1) : falling(x, 1),
    );
    expect(upright(stripes)).toEqual([8, 12, 24, 28]);
  });

  it('goes along a slanting contour: two diagonals, 13 and 7 px apart', () => {
    const shown = (apart: number): number => {
      const side = 60;
      const data = new Float32Array(side * side);
      const slope = new Float32Array(side * side);
      for (let y = 5; y < 35; y++) {
        for (const [x, strong] of [
          [y, 3],
          [y + Math.round(apart * Math.SQRT2), 2],
        ]) {
          data[y * side + x] = 1;
          slope[y * side + x] = strong;
        }
      }
      const down = slope.map((value) => -value);
      const field = { width: side, height: side, data };
      const crowded = crowdedOut(field, { across: slope, down, strength: slope }, 10);
      return data.reduce((sum, value, i) => sum + (crowded[i] === 1 ? 0 : value), 0);
    };
    expect(shown(13)).toBe(60);
    expect(shown(7)).toBeGreaterThanOrEqual(30);
    // Beyond the end of the stronger one there is room for the weaker one.
    expect(shown(7)).toBeLessThanOrEqual(42);
  });
});
