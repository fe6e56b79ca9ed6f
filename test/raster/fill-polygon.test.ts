import { describe, expect, it } from 'vitest';
import { fillPolygon, type Corners } from '../../src/raster/fill-polygon.js';

function filled(corners: Corners): string[] {
  const data = new Uint8Array(8 * 5);
  fillPolygon(data, 8, corners, 1);
  return Array.from({ length: 5 }, (_, y) => [...data.subarray(8 * y, 8 * y + 8)].join(''));
}

describe('fillPolygon', () => {
  it('fills the pixels whose centres lie inside', () => {
    expect(
      filled([
        [1, 1],
        [6, 1],
        [6, 4],
        [1, 4],
      ]),
    ).toEqual(['00000000', '01111100', '01111100', '01111100', '00000000']);
  });

  it('is cut off at the raster, and leaves out what two turns hold', () => {
    expect(
      filled([
        [-5, -5],
        [20, -5],
        [20, 20],
        [-5, 20],
        [-5, -5],
        [2, 1],
        [2, 3],
        [5, 3],
        [5, 1],
        [2, 1],
      ]),
    ).toEqual(['11111111', '11000111', '11000111', '11111111', '11111111']);
  });
});
