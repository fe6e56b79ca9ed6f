import { describe, expect, it } from 'vitest';
import { completeJob } from '../../src/settings/job.js';
import { followBorders } from '../../src/raster/borders.js';
import { labelRegions } from '../../src/raster/labels.js';
import { bridge } from '../../src/stages/bridge/bridge.js';
import { trace } from '../../src/stages/trace/trace.js';
import { enlarged, handwritten } from '../support/digits.js';
import { components, holes, inverse } from '../support/opencv.js';
import { drawStencil } from '../support/stencil-drawing.js';
import { stencilSvg } from '../../src/output/svg/svg.js';

/*
 * Islands against the contour tree of OpenCV's `findContours` (Suzuki & Abe 1985), on 1,000 digits of LeCun, Cortes &
 * Burges, "The MNIST database of handwritten digits" (1998): 100 of each.
 */
const EACH = 100;
const digits = [0, 1, 2, 3, 4, 5, 6, 7, 8, 9];

/** Film regions but the one round the digit, which comes to the picture's edge. */
const islands = (bitmap: Parameters<typeof labelRegions>[0]): number =>
  labelRegions(bitmap, 0, 4).count - 1;

describe("the islands of handwritten digits equal a reference library's holes", () => {
  it.each(digits)('%d, by regions and by borders', (digit) => {
    const bitmaps = handwritten(digit, EACH);
    const expected = bitmaps.map(holes);
    expect(bitmaps.map(islands)).toEqual(expected);
    expect(
      bitmaps.map((bitmap) => followBorders(bitmap).filter(({ parent }) => parent >= 0).length),
    ).toEqual(expected);
  });

  it.each(digits)('%d, by traced outlines of the digit enlarged', (digit) => {
    for (const bitmap of handwritten(digit, EACH)) {
      const { shapes } = trace(enlarged(bitmap, 4), 2);
      expect(shapes.reduce((sum, shape) => sum + shape.holes.length, 0)).toBe(holes(bitmap));
    }
  });
});

describe('the bridges of handwritten digits', () => {
  const sheet = { widthMm: 56, heightMm: 56 };
  const job = completeJob({ card: '56x56mm', margin: 2 });

  // A pixel of the digit is 2 mm: no hole is so small that it is cut away rather than tied.
  it.each(digits)('tie the islands that the reference library finds in %d', (digit) => {
    for (const bitmap of handwritten(digit, 10)) {
      const { shapes } = trace(enlarged(bitmap, 10), 5);
      const { openings, islands: found } = bridge({ shapes }, { sheet, pixelsPerMm: 5 }, job);
      expect(found).toBe(holes(bitmap));
      const cut = drawStencil(stencilSvg(openings, sheet)).bitmap;
      expect(components(inverse(cut), 4).count).toBe(1);
    }
  });
});

describe('where the writer closed them', () => {
  it.each([
    [0, 1],
    [6, 1],
    [8, 2],
    [9, 1],
  ])('most of the digits %d have %d', (digit, count) => {
    const bitmaps = handwritten(digit, EACH);
    const shares = new Map<number, number>();
    for (const bitmap of bitmaps) {
      const found = islands(bitmap);
      shares.set(found, (shares.get(found) ?? 0) + 1 / EACH);
    }
    expect(shares.get(count), JSON.stringify([...shares])).toBeGreaterThan(0.5);
  });

  it.each([1, 2, 3, 5, 7])('most of the digits %d have none', (digit) => {
    const closed = handwritten(digit, EACH).filter((bitmap) => islands(bitmap) > 0);
    expect(closed.length).toBeLessThan(EACH / 2);
  });
});
