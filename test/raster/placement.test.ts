import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { parseCard, pixelsPerMm } from '../../src/settings/card.js';
import { covering, contained, pixelsInsideMargin, sheetSize } from '../../src/raster/placement.js';

const side = fc.integer({ min: 1, max: 20_000 });
const roomSide = fc.integer({ min: 1, max: 4000 });
const room = fc.record({
  x: fc.nat(200),
  y: fc.nat(200),
  width: roomSide,
  height: roomSide,
});

describe('the sheet in pixels', () => {
  it.each([
    ['4x4in', 6, 1016, 1016, { x: 60, y: 60, width: 896, height: 896 }],
    ['105x148mm', 6, 1050, 1480, { x: 60, y: 60, width: 930, height: 1360 }],
    ['85.6x53.98mm', 4.32, 856, 540, { x: 44, y: 44, width: 768, height: 452 }],
    ['20x20mm', 5.55, 200, 200, { x: 56, y: 56, width: 88, height: 88 }],
  ])('%s with %f mm of margin', (card, margin, width, height, inside) => {
    const sheet = parseCard(card);
    expect(sheetSize(sheet, 10)).toEqual({ width, height });
    expect(pixelsInsideMargin(sheet, margin, 10)).toEqual(inside);
  });

  it('a sheet of a metre has coarser pixels, and no more of them than were promised', () => {
    const sheet = parseCard('100x100cm');
    const scale = pixelsPerMm(sheet);
    const { width, height } = sheetSize(sheet, scale);
    expect(width * height).toBeLessThanOrEqual(16_000_000);
    const inside = pixelsInsideMargin(sheet, 12, scale);
    expect(inside.x).toBeGreaterThanOrEqual(12 * scale);
    expect(inside.x + inside.width).toBeLessThanOrEqual((1000 - 12) * scale);
  });
});

describe('a whole picture in its room', () => {
  it('lies inside it, in the middle, reaches two of its sides and keeps its shape to a pixel', () => {
    fc.assert(
      fc.property(side, side, room, (width, height, space) => {
        const box = contained(width, height, space);
        expect(box.width === space.width || box.height === space.height).toBe(true);
        for (const [start, length, from, whole] of [
          [box.x, box.width, space.x, space.width],
          [box.y, box.height, space.y, space.height],
        ]) {
          expect(length).toBeGreaterThanOrEqual(1);
          const before = start - from;
          const after = from + whole - (start + length);
          expect(before).toBeGreaterThanOrEqual(0);
          expect(after - before === 0 || after - before === 1).toBe(true);
        }
        const scale = Math.min(space.width / width, space.height / height);
        expect(Math.abs(box.width - width * scale)).toBeLessThanOrEqual(1);
        expect(Math.abs(box.height - height * scale)).toBeLessThanOrEqual(1);
      }),
    );
  });
});

describe('a picture that covers its room', () => {
  it('shows its middle: all of one side, and of the other the least whole pixels that cover', () => {
    fc.assert(
      fc.property(fc.nat(50), fc.nat(50), side, side, room, (x, y, width, height, space) => {
        const part = { x, y, width, height };
        const seen = covering(part, space);
        expect(seen.width === width || seen.height === height).toBe(true);
        expect(2 * seen.x + seen.width).toBe(2 * x + width);
        expect(2 * seen.y + seen.height).toBe(2 * y + height);
        expect([seen.x, seen.y, seen.width, seen.height].every(Number.isInteger)).toBe(true);
        const scale = Math.max(space.width / width, space.height / height);
        for (const [count, all, needed] of [
          [seen.width, width, space.width / scale],
          [seen.height, height, space.height / scale],
        ]) {
          expect(count).toBeLessThanOrEqual(all);
          expect(count).toBeGreaterThanOrEqual(Math.min(all, needed - 1e-3));
          expect(count).toBeLessThan(needed + 2);
        }
      }),
    );
  });
});
