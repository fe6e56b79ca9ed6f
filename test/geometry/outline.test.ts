import { describe, expect, it } from 'vitest';
import { cubicOf, pointAt } from '../../src/geometry/cubic.js';
import { turnedBack, writeLine } from '../../src/geometry/outline.js';
import type { Outline } from '../../src/geometry/shape.js';
import { circle } from '../support/openings.js';

describe('writeLine', () => {
  it('writes a curve that runs evenly along the line', () => {
    const coords = new Float64Array(12);
    writeLine(coords, 0, { x: 3, y: 20 }, { x: 9, y: 8 });
    writeLine(coords, 6, { x: 9, y: 8 }, { x: 3, y: 20 });
    const there: Outline = { coords, straight: Uint8Array.of(1, 1), corner: Uint8Array.of(1, 1) };
    for (const t of [0, 0.25, 0.5, 0.9]) {
      const [x, y] = pointAt(cubicOf(there, 0), t);
      expect(x).toBeCloseTo(3 + 6 * t, 12);
      expect(y).toBeCloseTo(20 - 12 * t, 12);
    }
  });
});

describe('turnedBack', () => {
  const { coords } = circle(7, 5, 3);
  const outline: Outline = {
    coords,
    straight: Uint8Array.of(1, 0, 0, 0),
    corner: Uint8Array.of(1, 1, 0, 0),
  };
  const back = turnedBack(outline);

  it('passes the same places, the last ones first', () => {
    for (let i = 0; i < 4; i++) {
      for (const t of [0, 0.3, 0.7]) {
        const [x, y] = pointAt(cubicOf(back, i), t);
        const [fromX, fromY] = pointAt(cubicOf(outline, 3 - i), 1 - t);
        expect(x).toBeCloseTo(fromX, 12);
        expect(y).toBeCloseTo(fromY, 12);
      }
    }
  });

  it('keeps what is straight and what is a corner at its place', () => {
    expect([...back.straight]).toEqual([0, 0, 0, 1]);
    // It begins at the same place as before, which is a corner; the other one is the start of its last line.
    expect([...back.corner]).toEqual([1, 0, 0, 1]);
  });

  it('gives the outline itself when turned twice', () => {
    const twice = turnedBack(back);
    expect([...twice.coords]).toEqual([...outline.coords]);
    expect([...twice.straight]).toEqual([...outline.straight]);
    expect([...twice.corner]).toEqual([...outline.corner]);
  });
});
