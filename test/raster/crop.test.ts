import { describe, expect, it } from 'vitest';
import { boxRound, cropped } from '../../src/raster/crop.js';
import { drawn } from '../support/bitmaps.js';

describe('a part of a raster', () => {
  const bitmap = drawn('......', '..##..', '...#..', '......');

  it('is what lies in a box', () => {
    expect(cropped(bitmap, { x: 1, y: 1, width: 3, height: 2 })).toEqual({
      width: 3,
      height: 2,
      data: Uint8Array.of(0, 1, 1, 0, 0, 1),
    });
  });

  it('has a box round what is 1, no further than the raster', () => {
    expect(boxRound(bitmap, 0)).toEqual({ x: 2, y: 1, width: 2, height: 2 });
    expect(boxRound(bitmap, 1)).toEqual({ x: 1, y: 0, width: 4, height: 4 });
    expect(boxRound(bitmap, 9)).toEqual({ x: 0, y: 0, width: 6, height: 4 });
    expect(boxRound(drawn('...'), 2)).toEqual({ x: 0, y: 0, width: 0, height: 0 });
  });
});
