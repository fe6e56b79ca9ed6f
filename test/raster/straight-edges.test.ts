import { describe, expect, it } from 'vitest';
import { gaussianBlur } from '../../src/raster/blur.js';
import { straightEdges } from '../../src/raster/straight-edges.js';

/** Light on the side that the angle points to, beyond a line so far from the top left pixel. */
function halves(angle: number, from: number): ReturnType<typeof gaussianBlur> {
  const [width, height] = [80, 60];
  const data = Float32Array.from({ length: width * height }, (_, at) => {
    const [x, y] = [at % width, Math.floor(at / width)];
    return x * Math.cos(angle) + y * Math.sin(angle) > from ? 10 : 0;
  });
  return gaussianBlur({ width, height, data }, 1.2);
}

describe('straight edges', () => {
  // By the definition of the line's normal form.
  it.each([
    [0, 30],
    [90, 25],
    [-180, -40],
    [35, 45],
    [-60, 0],
  ])(
    'are found at %d degrees, %d px away, and the light lies where the angle points',
    (degrees, from) => {
      const [first] = straightEdges(halves((degrees / 180) * Math.PI, from), 0.5, 3);
      const off = Math.abs((((first.angle / Math.PI) * 180 - degrees + 540) % 360) - 180);
      expect(off).toBeLessThanOrEqual(1.5);
      expect(Math.abs(first.from - from)).toBeLessThanOrEqual(1.5);
    },
  );

  it('are none where nothing changes', () => {
    const data = new Float32Array(400).fill(7);
    expect(straightEdges({ width: 20, height: 20, data }, 0.5, 3)).toEqual([]);
  });
});
