import { describe, expect, it } from 'vitest';
import { mirroredPdf, templatePdf, type Template } from '../../src/output/pdf/template.js';
import { circle, rectangle, solid } from '../output/outlines.js';
import { readPdf, type Drawn, type ReadPage } from '../support/pdf.js';
import { planOf } from '../support/plans.js';

/*
 * A sheet larger than the paper, in parts, read back by an independent reader (pdfjs-dist). Papers: ISO 216 (A4);
 * ANSI/ASME Y14.1 (size A). Blank film of 9 × 12 in: common practice, no source.
 */

const HELP = '#2a6db0';
const sheet = { widthMm: 228.6, heightMm: 304.8 };
const spread = { widthMm: 420, heightMm: 297 };
const openings = [
  solid(rectangle(12, 12, 100, 60)),
  solid(circle(150, 150, 50)),
  solid(rectangle(60, 250, 150, 30)),
];

const template = (size: typeof sheet, paper: 'letter' | 'a4', tileOverlap = 10): Template => ({
  name: 'Large',
  openings,
  plan: planOf(openings, size),
  sheet: size,
  job: { paper, margin: 12, tileOverlap },
  locale: 'en-US',
});

const near = (value: number, wanted: number, mm = 0.1): boolean => Math.abs(value - wanted) < mm;

/** The sheet's own edge on a page: most of it lies outside of the part that is shown. */
function edgeOf(page: ReadPage, size: typeof sheet): Drawn {
  const edge = page.drawn.find(
    ({ widthMm, heightMm }) => near(widthMm, size.widthMm) && near(heightMm, size.heightMm),
  );
  if (!edge) throw new Error('The page shows no edge of the sheet');
  return edge;
}

describe.each([
  ['9 × 12 in over letter', sheet, 'letter', [279.4, 215.9], 2],
  ['9 × 12 in over a4', sheet, 'a4', [297, 210], 2],
  ['a spread over a4', spread, 'a4', [210, 297], 6],
] as const)('%s', (_, size, paper, [pageWidth, pageHeight], atMost) => {
  it('is pages of that paper, no more than it takes', async () => {
    const pages = await readPdf(await templatePdf(template(size, paper)));
    expect(pages.length).toBeGreaterThan(1);
    expect(pages.length).toBeLessThanOrEqual(atMost);
    for (const { widthMm, heightMm, preferences } of pages) {
      expect([widthMm, heightMm].map((mm) => Math.round(mm * 10) / 10).sort()).toEqual(
        [pageWidth, pageHeight].toSorted(),
      );
      expect(preferences.PrintScaling).toBe('None');
    }
  });

  it('has both check bars on every page', async () => {
    for (const page of await readPdf(await templatePdf(template(size, paper)))) {
      const bars = page.drawn.filter(({ lineMm }) => near(lineMm, 0.2, 0.001));
      expect(bars.map(({ widthMm }) => Math.round(widthMm * 100) / 100)).toEqual([50, 50.8]);
      expect(page.text).toMatch(/page \d of \d/);
      expect(page.text).toContain('100 %');
      expect(page.text).toContain('fumes');
    }
  });

  it('gives the sheet to 0.1 mm when the parts are put together', async () => {
    const pages = await readPdf(await templatePdf(template(size, paper)));
    // Black ticks of 0.15 mm stand 1 mm off the corners of what a page shows.
    const parts = pages.map((page) => {
      const ticks = page.drawn.find(
        ({ colour, lineMm }) => colour === '#1c1c1e' && near(lineMm, 0.15, 0.001),
      )!;
      const edge = edgeOf(page, size);
      const [left, top] = [ticks.left + 4.5 - edge.left, ticks.top + 4.5 - edge.top];
      return { left, top, right: left + ticks.widthMm - 9, bottom: top + ticks.heightMm - 9 };
    });
    expect(Math.min(...parts.map(({ left }) => left))).toBeCloseTo(0, 1);
    expect(Math.min(...parts.map(({ top }) => top))).toBeCloseTo(0, 1);
    expect(Math.max(...parts.map(({ right }) => right))).toBeCloseTo(size.widthMm, 1);
    expect(Math.max(...parts.map(({ bottom }) => bottom))).toBeCloseTo(size.heightMm, 1);
    for (const { left, right, top, bottom } of parts) {
      // Each side of a part is the sheet's, or lies the overlap inside another part.
      const isMet = (
        at: number,
        end: number,
        low: (p: (typeof parts)[0]) => number,
        high: typeof low,
        into: number,
      ): boolean =>
        near(at, end) ||
        parts.some((part) => near(at, into > 0 ? high(part) - 10 : low(part) + 10));
      expect(
        isMet(
          left,
          0,
          (p) => p.left,
          (p) => p.right,
          1,
        ),
      ).toBe(true);
      expect(
        isMet(
          right,
          size.widthMm,
          (p) => p.left,
          (p) => p.right,
          -1,
        ),
      ).toBe(true);
      expect(
        isMet(
          top,
          0,
          (p) => p.top,
          (p) => p.bottom,
          1,
        ),
      ).toBe(true);
      expect(
        isMet(
          bottom,
          size.heightMm,
          (p) => p.top,
          (p) => p.bottom,
          -1,
        ),
      ).toBe(true);
    }
  });
});

describe('a part of a large template', () => {
  it('is trimmed where the part before it has its meeting line', async () => {
    const [first, second] = await readPdf(await templatePdf(template(sheet, 'letter', 17)));
    const across = (page: ReadPage): number => {
      const line = page.drawn.find(
        ({ colour, heightMm, widthMm }) => colour === HELP && heightMm < 0.01 && widthMm > 200,
      );
      return (line?.top ?? NaN) - edgeOf(page, sheet).top;
    };
    expect(across(first)).toBeCloseTo(across(second), 1);
    expect(across(second)).toBeCloseTo((sheet.heightMm - 17) / 2, 1);
    expect(first.text).toContain('B1 meets here');
    expect(second.text).toContain('Trim along the top marks');
  });

  it('is one page of the sheet’s own size for a print shop', async () => {
    const given = template(sheet, 'letter');
    const job = { ...given.job, paper: 'one-page' } as const;
    const pages = await readPdf(await templatePdf({ ...given, job }));
    expect(pages).toHaveLength(1);
    expect(pages[0].widthMm).toBeGreaterThanOrEqual(sheet.widthMm - 0.1);
  });
});

describe('the mirrored template', () => {
  it('has left and right changed, and its numbers still read', async () => {
    const given = { ...template({ widthMm: 180, heightMm: 150 }, 'letter') };
    const small = { ...given, openings: [openings[0]], plan: planOf([openings[0]], given.sheet) };
    const [plain] = await readPdf(await templatePdf(small));
    const [back] = await readPdf(await mirroredPdf(small));
    const openingOf = ({ drawn }: ReadPage): Drawn =>
      drawn.find(({ widthMm, heightMm }) => near(widthMm, 100, 0.7) && near(heightMm, 60, 0.7))!;
    const [a, b] = [plain, back].map((page) => ({
      opening: openingOf(page),
      edge: edgeOf(page, given.sheet),
      number: page.written.find(({ text }) => text === '1')!,
    }));
    expect(a.opening.left - a.edge.left).toBeCloseTo(12, 1);
    expect(b.opening.left - b.edge.left).toBeCloseTo(180 - 112, 1);
    expect(b.opening.top).toBeCloseTo(a.opening.top, 2);
    expect(b.number.right).toBeGreaterThan(b.number.left);
    expect(back.text).toContain('mirrored');
  });
});
