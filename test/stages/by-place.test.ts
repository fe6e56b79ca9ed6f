import { describe, expect, it } from 'vitest';
import type { Contours } from '../../src/raster/contours.js';
import { matchOf } from '../../src/raster/likeness.js';
import type { Bitmap } from '../../src/raster/raster.js';
import { byPlace, type MatchedTone } from '../../src/stages/tone/by-place.js';

const WIDTH = 120;
const HEIGHT = 60;
const PIXELS_PER_MM = 3;
const OPENING = 3;

const made = (rule: (x: number, y: number) => number): Float32Array =>
  Float32Array.from({ length: WIDTH * HEIGHT }, (_, i) => rule(i % WIDTH, Math.floor(i / WIDTH)));

/** A contour at the left, twice as heavy as the one at the right. */
const contours: Contours = {
  width: WIDTH,
  height: HEIGHT,
  weight: made((x) => (x === 25 ? 1 : x === 95 ? 0.5 : 0)),
};

/** A tone that is dark in bands of columns, and what its print shows of the contours. */
function drawn(...bands: readonly (readonly [first: number, last: number])[]): MatchedTone {
  const isDark = (x: number): boolean => bands.some(([first, last]) => x >= first && x <= last);
  const data = made((x) => (isDark(x) ? -1 : 1));
  const print: Bitmap = {
    width: WIDTH,
    height: HEIGHT,
    data: Uint8Array.from(data, (v) => +(v < 0)),
  };
  return {
    decision: { lightness: { width: WIDTH, height: HEIGHT, data }, factor: 2 },
    match: matchOf(contours, print, PIXELS_PER_MM),
  };
}

// Counted by hand: which tone's outlines lie on the contours.
describe('byPlace', () => {
  const left = drawn([10, 25]);
  const right = drawn([80, 95]);
  const rowOf = (tones: readonly MatchedTone[], rate: number): readonly number[] => {
    const { lightness } = byPlace(tones, contours, OPENING, rate);
    return [...lightness.data.subarray(30 * WIDTH, 31 * WIDTH)];
  };

  it('takes the tone whose print has the contour, in each place', () => {
    for (const tones of [
      [left, right],
      [right, left],
    ]) {
      const row = rowOf(tones, 5);
      expect(row[20]).toBeCloseTo(-1, 1);
      expect(row[90]).toBeCloseTo(-1, 1);
      expect(row[60]).toBeCloseTo(1, 1);
    }
  });

  it('takes the first where all are alike', () => {
    expect(rowOf([left, left], 5)[20]).toBeCloseTo(-1, 1);
    const nothing = drawn();
    expect(rowOf([nothing, drawn()], 5).every((value) => value > 0.9)).toBe(true);
  });

  it('draws more outlines that lie on no contour, the more a contour found is worth', () => {
    // The right contour, and beside it three bands that no contour has.
    const busy = drawn([80, 95], [99, 101], [104, 106], [109, 111]);
    expect(rowOf([drawn(), busy], 0.2)[90]).toBeCloseTo(1, 1);
    expect(rowOf([drawn(), busy], 20)[90]).toBeCloseTo(-1, 1);
  });

  it('stays on the grid of its tones', () => {
    expect(byPlace([left, right], contours, OPENING, 5).factor).toBe(2);
  });
});
