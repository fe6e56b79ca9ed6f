import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { pageFor, type PageLayout } from '../../src/output/pdf/page.js';

const LETTER = { widthMm: 215.9, heightMm: 279.4 };
const A4 = { widthMm: 210, heightMm: 297 };
const inches = (width: number, height: number) => ({
  widthMm: width * 25.4,
  heightMm: height * 25.4,
});

describe('pageFor', () => {
  it('puts a card in the middle of the upright paper', () => {
    const page = pageFor(inches(4, 4), 6, 'letter');
    expect(page).toMatchObject({ ...LETTER, turned: false });
    expect(page.sheetAt.x).toBeCloseTo((215.9 - 101.6) / 2, 6);
    expect(page.sheetAt.y).toBeCloseTo((279.4 - 101.6) / 2, 6);
  });

  it('lays the paper on its side for a wide card', () => {
    expect(pageFor({ widthMm: 250, heightMm: 120 }, 12, 'a4')).toMatchObject({
      widthMm: 297,
      heightMm: 210,
    });
  });

  it('writes up the side of a card that leaves room only there', () => {
    expect(pageFor({ widthMm: 60, heightMm: 290 }, 6, 'a4')).toMatchObject({ ...A4, turned: true });
  });

  it.each([
    ['a4', { widthMm: 210, heightMm: 297 }],
    ['letter', inches(8.5, 11)],
    ['letter', inches(11, 8.5)],
  ] as const)('prints a card of the size of the paper on that paper (%s)', (paper, sheet) => {
    const page = pageFor(sheet, 12, paper);
    expect(page.widthMm).toBeCloseTo(sheet.widthMm, 6);
    expect(page.heightMm).toBeCloseTo(sheet.heightMm, 6);
    expect(page.sheetAt.x).toBeCloseTo(0, 6);
    expect(page.sheetAt.y).toBeCloseTo(0, 6);
  });

  it('has a page of the size of a card that fits no paper', () => {
    expect(pageFor(inches(9, 12), 12, 'letter')).toMatchObject({
      ...inches(9, 12),
      sheetAt: { x: 0, y: 0 },
    });
  });

  it('adds strips to that page where the margin is too narrow for the text', () => {
    const page = pageFor(inches(12, 12), 4, 'a4');
    expect(page.widthMm).toBeCloseTo(304.8, 6);
    expect(page.heightMm).toBeGreaterThan(304.8 + 40);
    expect(page.sheetAt.x).toBeCloseTo(0, 6);
  });

  const size = fc.double({ min: 20, max: 1000, noNaN: true });
  const someSheet = fc.record({ widthMm: size, heightMm: size });
  const someShare = fc.double({ min: 0, max: 1, noNaN: true });
  const somePaper = fc.constantFrom('letter', 'a4');

  it('keeps the sheet on the page and the text off the drawing, for any card', () => {
    fc.assert(
      fc.property(someSheet, someShare, somePaper, (sheet, share, paper) => {
        const widest = Math.min(sheet.widthMm, sheet.heightMm) / 2 - 4;
        const margin = 2 + share ** 3 * (Math.min(100, widest) - 2);
        const page = pageFor(sheet, margin, paper);
        expect(page.sheetAt.x).toBeGreaterThanOrEqual(0);
        expect(page.sheetAt.y).toBeGreaterThanOrEqual(0);
        expect(page.sheetAt.x + sheet.widthMm).toBeLessThanOrEqual(page.widthMm + 0.011);
        expect(page.sheetAt.y + sheet.heightMm).toBeLessThanOrEqual(page.heightMm + 0.011);
        const { from, to } = drawnAlong(page, sheet, margin);
        expect(page.head.y).toBeGreaterThanOrEqual(0);
        expect(page.head.y + page.head.heightMm).toBeLessThanOrEqual(from + 0.02);
        expect(page.foot.y).toBeGreaterThanOrEqual(to - 0.02);
        expect(Math.min(page.head.heightMm, page.foot.heightMm)).toBeGreaterThan(6.9);
      }),
      { numRuns: 2000 },
    );
  });
});

/** Where the openings may start and end, measured across the lines of text. */
function drawnAlong(
  page: PageLayout,
  sheet: { widthMm: number; heightMm: number },
  margin: number,
) {
  const start = page.turned ? page.sheetAt.x : page.sheetAt.y;
  const length = page.turned ? sheet.widthMm : sheet.heightMm;
  return { from: start + margin, to: start + length - margin };
}
