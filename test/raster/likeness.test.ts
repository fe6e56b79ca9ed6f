import { describe, expect, it } from 'vitest';
import type { Contours } from '../../src/raster/contours.js';
import { likenessOf, matchOf } from '../../src/raster/likeness.js';
import type { Bitmap } from '../../src/raster/raster.js';

const WIDTH = 30;
const HEIGHT = 20;
const PIXELS_PER_MM = 3;

function contours(rule: (x: number, y: number) => number): Contours {
  const weight = Float32Array.from({ length: WIDTH * HEIGHT }, (_, i) =>
    rule(i % WIDTH, Math.floor(i / WIDTH)),
  );
  return { width: WIDTH, height: HEIGHT, weight };
}

function print(isOpening: (x: number, y: number) => boolean): Bitmap {
  const data = Uint8Array.from({ length: WIDTH * HEIGHT }, (_, i) =>
    isOpening(i % WIDTH, Math.floor(i / WIDTH)) ? 1 : 0,
  );
  return { width: WIDTH, height: HEIGHT, data };
}

const likeness = (picture: Contours, openings: Bitmap) =>
  likenessOf(picture, openings, PIXELS_PER_MM);

// Counted by hand; the method is that of Martin, Fowlkes & Malik 2004. 1 mm is 3 px; the raster's rim is left out,
// so a line from top to bottom has 18 pixels.
const inside = (y: number) => y > 0 && y < HEIGHT - 1;
const column = (at: number) => contours((x, y) => (x === at && inside(y) ? 1 : 0));
const leftOf = (end: number) => print((x) => x <= end);

describe('likenessOf', () => {
  it('is whole where the outline lies on the contour, or no more than 1 mm off', () => {
    for (const end of [10, 7, 13]) {
      expect(likeness(column(10), leftOf(end))).toEqual({ recall: 1, precision: 1, f: 1 });
    }
  });

  it('is not told by what lies at the other end of the next row', () => {
    expect(likeness(column(WIDTH - 2), leftOf(1)).recall).toBe(0);
  });

  it('is nothing beyond that', () => {
    expect(likeness(column(10), leftOf(14))).toEqual({ recall: 0, precision: 0, f: 0 });
  });

  it('counts one to one: a stroke has two outlines, and a contour finds one of them', () => {
    const stroke = print((x) => x >= 9 && x <= 11);
    const { recall, precision, f } = likeness(column(10), stroke);
    expect([recall, precision]).toEqual([1, 0.5]);
    expect(f).toBeCloseTo(2 / 3, 12);
  });

  it('counts the picture by weight and the print by length', () => {
    // Two contours, 18 px each, one with a third of the other's weight; the print has the heavier one.
    const two = contours((x, y) => (inside(y) ? (x === 10 ? 0.9 : x === 22 ? 0.3 : 0) : 0));
    expect(likeness(two, leftOf(10)).recall).toBeCloseTo(0.75, 6);
    expect(likeness(two, leftOf(10)).precision).toBe(1);
    expect(likeness(two, leftOf(22)).recall).toBeCloseTo(0.25, 6);
  });

  it('counts half of a contour as half', () => {
    const half = print((x, y) => x <= 10 && y >= 10);
    // 9 contour pixels lie on the outline. The outline's other 9, along its top edge, are no contour, save that the
    // contour pixels 1 and 2 px above the corner take those 1 and 2 px beside it (√2 and √8 px off); the contour pixel
    // 3 px above is √10 px and more from what is left.
    const { recall, precision } = likeness(column(10), half);
    expect(recall).toBeCloseTo(11 / 18, 6);
    expect(precision).toBeCloseTo(11 / 18, 6);
  });

  it('leaves the edge of the picture out', () => {
    expect(
      likeness(
        contours(() => 0),
        print(() => true),
      ),
    ).toEqual({ recall: 1, precision: 1, f: 1 });
  });
});

describe('matchOf', () => {
  it('tells where contours were found and where outlines were invented', () => {
    const two = contours((x, y) => (inside(y) && (x === 4 || x === 20) ? 1 : 0));
    // One outline is 1 px beside the first contour, the other is 5 px from the second.
    const { found, invented, wanted, drawn } = matchOf(
      two,
      print((x) => x <= 5 || x >= 25),
      PIXELS_PER_MM,
    );
    const columns = (marks: Uint8Array) =>
      Array.from({ length: WIDTH }, (_, x) =>
        marks.reduce((sum, mark, i) => sum + (i % WIDTH === x ? mark : 0), 0),
      );
    expect([wanted, drawn]).toEqual([36, 36]);
    expect(columns(found)).toEqual(columns(found).map((_, x) => (x === 4 ? 18 : 0)));
    expect(columns(invented)).toEqual(columns(invented).map((_, x) => (x === 25 ? 18 : 0)));
  });
});
