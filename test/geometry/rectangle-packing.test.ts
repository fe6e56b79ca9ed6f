import { describe, expect, it } from 'vitest';
import {
  fitsOn,
  pack,
  type Packed,
  type RectangleSize,
} from '../../src/geometry/rectangle-packing.js';
import { seeded } from '../support/bitmaps.js';

const MM_PER_INCH = 25.4;
/** Blank film comes in sheets of 9 × 12 in: common practice, no source. */
const FILM: RectangleSize = { width: 9 * MM_PER_INCH, height: 12 * MM_PER_INCH };

const inches = (width: number, height: number, copies: number): RectangleSize[] =>
  Array.from({ length: copies }, () => ({
    width: width * MM_PER_INCH,
    height: height * MM_PER_INCH,
  }));
const squares = (...sides: readonly number[]): RectangleSize[] =>
  sides.map((side) => ({ width: side, height: side }));

/** What is wrong with a packing, by itself: outside the sheet, or nearer to another than the gap. */
function faults(
  sizes: readonly RectangleSize[],
  sheet: RectangleSize,
  gap: number,
  packed: Packed,
): string[] {
  const boxes = packed.laid.map(({ x, y, turned, sheet: on }, i) => {
    const { width, height } = sizes[i];
    const [w, h] = turned ? [height, width] : [width, height];
    return { on, left: x, top: y, right: x + w, bottom: y + h };
  });
  const wrong: string[] = [];
  const slack = 1e-5;
  boxes.forEach((a, i) => {
    if (
      a.left < -slack ||
      a.top < -slack ||
      a.right > sheet.width + slack ||
      a.bottom > sheet.height + slack
    )
      wrong.push(`${i} is off the sheet`);
    for (const [j, b] of boxes.entries()) {
      if (j <= i || a.on !== b.on) continue;
      const apart = Math.max(
        b.left - a.right,
        a.left - b.right,
        b.top - a.bottom,
        a.top - b.bottom,
      );
      if (apart < gap - slack) wrong.push(`${i} and ${j} are ${apart} apart`);
    }
  });
  if (packed.laid.length !== sizes.length) wrong.push('not all are laid');
  if (new Set(boxes.map(({ on }) => on)).size !== packed.sheets) wrong.push('a sheet is empty');
  return wrong;
}

/** The fewest sheets there can be, by trying every place with whole coordinates. For a handful of small rectangles. */
function fewest(sizes: readonly RectangleSize[], { width, height }: RectangleSize): number {
  const fit = (sheets: number): boolean => {
    const grids = Array.from({ length: sheets }, () => new Uint8Array(width * height));
    const place = (i: number): boolean => {
      if (i === sizes.length) return true;
      for (const [s, grid] of grids.entries()) {
        // An empty sheet is like any other empty one.
        if (s > 0 && !grids[s - 1].includes(1)) return false;
        for (const [w, h] of [
          [sizes[i].width, sizes[i].height],
          [sizes[i].height, sizes[i].width],
        ]) {
          for (let y = 0; y + h <= height; y++) {
            for (let x = 0; x + w <= width; x++) {
              const cells = Array.from(
                { length: w * h },
                (_, k) => (y + Math.floor(k / w)) * width + x + (k % w),
              );
              if (cells.some((cell) => grid[cell] === 1)) continue;
              for (const cell of cells) grid[cell] = 1;
              if (place(i + 1)) return true;
              for (const cell of cells) grid[cell] = 0;
            }
          }
          if (sizes[i].width === sizes[i].height) break;
        }
      }
      return false;
    };
    return place(0);
  };
  let sheets = 1;
  while (!fit(sheets)) sheets++;
  return sheets;
}

describe('pack', () => {
  it.each<[string, RectangleSize[], number, number]>([
    // Counted by hand: 2 × 2 art cards with gaps, 2 × 3 without; a 5 × 7 in page and a turned one need 12 in.
    ['art cards with gaps', inches(4, 4, 8), 3, 2],
    ['art cards without', inches(4, 4, 12), 0, 2],
    ['journal pages without gaps', inches(5, 7, 4), 0, 2],
    ['nothing', [], 3, 0],
  ])('%s', (_what, sizes, gap, sheets) => {
    const packed = pack(sizes, FILM, gap);
    expect(packed.sheets).toBe(sheets);
    expect(faults(sizes, FILM, gap, packed)).toEqual([]);
  });

  it('turns what only fits turned', () => {
    const [laid] = pack([{ width: 300, height: 200 }], FILM, 3).laid;
    expect(laid).toEqual({ sheet: 0, x: 0, y: 0, turned: true });
    expect(fitsOn({ width: 300, height: 200 }, FILM)).toBe(true);
    expect(fitsOn({ width: 300, height: 240 }, FILM)).toBe(false);
  });

  it('gives the same packing every time', () => {
    const sizes = [...inches(4, 4, 5), ...inches(5, 7, 3), ...inches(2.5, 3.5, 9)];
    expect(pack(sizes, FILM, 3)).toEqual(pack(sizes, FILM, 3));
  });

  it('needs no more sheets than the fewest there can be, in small cases tried out in full', () => {
    const random = seeded(11);
    const sheet = { width: 5, height: 6 };
    for (let trial = 0; trial < 30; trial++) {
      const sizes = Array.from({ length: 3 + Math.floor(random() * 4) }, () => ({
        width: 1 + Math.floor(random() * 4),
        height: 1 + Math.floor(random() * 5),
      }));
      const packed = pack(sizes, sheet, 0);
      expect(faults(sizes, sheet, 0, packed)).toEqual([]);
      expect(packed.sheets, JSON.stringify(sizes)).toBe(fewest(sizes, sheet));
      expect(packed.areaBound).toBeLessThanOrEqual(packed.sheets);
    }
  }, 60_000);

  it.each([
    // Perfect packings that are published: one sheet is enough, and holds nothing but the squares.
    // Moroń, "O rozkładach prostokątów na kwadraty" (1925): nine squares, 33 × 32.
    ['Moroń’s rectangle', { width: 33, height: 32 }, squares(1, 4, 7, 8, 9, 10, 14, 15, 18)],
    // Duijvestijn, "Simple perfect squared square of lowest order" (1978): 21 squares, 112 × 112.
    [
      'Duijvestijn’s square',
      { width: 112, height: 112 },
      squares(50, 42, 37, 35, 33, 29, 27, 25, 24, 19, 18, 17, 16, 15, 11, 9, 8, 7, 6, 4, 2),
    ],
  ])('lays %s on no more than the area bound and one', (_name, sheet, sizes) => {
    const packed = pack(sizes, sheet, 0);
    expect(packed.areaBound).toBe(1);
    expect(packed.sheets).toBeLessThanOrEqual(2);
    expect(faults(sizes, sheet, 0, packed)).toEqual([]);
  });

  it('lays mixed stencils on no more sheets than the area bound and one', () => {
    const random = seeded(7);
    for (let trial = 0; trial < 12; trial++) {
      const count = 8 + Math.floor(random() * 40);
      const sizes = Array.from({ length: count }, () => ({
        width: 30 + Math.round(random() * 100),
        height: 30 + Math.round(random() * 100),
      }));
      const packed = pack(sizes, FILM, 3);
      expect(faults(sizes, FILM, 3, packed)).toEqual([]);
      expect(packed.sheets - packed.areaBound, `trial ${trial}`).toBeLessThanOrEqual(1);
    }
  }, 30_000);

  it.each([
    // Berkey & Wang, "Two-dimensional finite bin-packing algorithms" (1987), classes I to IV as they draw them.
    ['I', 10, 10],
    ['II', 10, 30],
    ['III', 35, 40],
    ['IV', 35, 100],
  ])(
    'lays instances of Berkey and Wang’s class %s likewise',
    (_name, most, side) => {
      const random = seeded(side);
      for (let trial = 0; trial < 5; trial++) {
        const sizes = Array.from({ length: 20 }, () => ({
          width: 1 + Math.floor(random() * most),
          height: 1 + Math.floor(random() * most),
        }));
        const sheet = { width: side, height: side };
        const packed = pack(sizes, sheet, 0);
        expect(faults(sizes, sheet, 0, packed)).toEqual([]);
        expect(packed.sheets - packed.areaBound, `trial ${trial}`).toBeLessThanOrEqual(1);
      }
    },
    30_000,
  );
});
