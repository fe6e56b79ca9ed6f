import { describe, expect, it } from 'vitest';
import type { Field } from '../../src/raster/field.js';
import { flattened, paperOf } from '../../src/raster/paper.js';

const SIZE = 120;

const field = (value: (x: number, y: number) => number): Field => ({
  width: SIZE,
  height: SIZE,
  data: Float32Array.from({ length: SIZE * SIZE }, (_, i) => value(i % SIZE, Math.floor(i / SIZE))),
});

/** Light that falls off towards one corner, to a third. */
const light = (x: number, y: number): number => 240 - 0.9 * x - 0.4 * y;
const isInk = (x: number, y: number): boolean =>
  x % 30 < 4 || (x > 50 && x < 75 && y > 40 && y < 60);

describe('paperOf', () => {
  const page = field((x, y) => light(x, y) * (isInk(x, y) ? 0.3 : 1));
  const paper = paperOf(page, 6, 3);

  it('follows the light under strokes and filled shapes, to the border', () => {
    paper.data.forEach((value, i) => {
      const wanted = light(i % SIZE, Math.floor(i / SIZE));
      expect(Math.abs(value - wanted) / wanted).toBeLessThan(0.08);
    });
  });

  it('lets a page be seen as if in even light', () => {
    flattened(page, paper).data.forEach((value, i) => {
      const ink = isInk(i % SIZE, Math.floor(i / SIZE));
      expect(Math.abs(value / 255 - (ink ? 0.3 : 1))).toBeLessThan(0.08);
    });
  });
});
