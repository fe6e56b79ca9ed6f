import { describe, expect, it } from 'vitest';
import { templatePdf, type Template } from '../../src/output/pdf/template.js';
import { readPdf, type Drawn, type ReadPage } from '../support/pdf.js';
import { circle, rectangle, solid, sprig } from '../output/outlines.js';
import { planOf } from '../support/plans.js';

/*
 * template.pdf read back by an independent reader (pdfjs-dist). Lengths: ISO 32000-1, 8.3.2.3: one unit is 1/72 in.
 * Papers: ISO 216 (A4, 210 × 297 mm); ANSI/ASME Y14.1 (size A, 8.5 × 11 in).
 */

type Given = Omit<Template, 'plan'>;

const read = async (given: Given): Promise<ReadPage & { readonly pages: number }> => {
  const [page, ...others] = await readPdf(
    await templatePdf({ ...given, plan: planOf(given.openings, given.sheet) }),
  );
  for (const { points } of page.written) expect(points).toBeGreaterThan(5.9);
  return { ...page, pages: 1 + others.length };
};

const template: Given = {
  name: 'Sprig and stars',
  openings: sprig,
  sheet: { widthMm: 101.6, heightMm: 101.6 },
  job: { paper: 'letter', margin: 6, tileOverlap: 10 },
  locale: 'de-DE',
};

const near = (value: number, wanted: number, mm = 0.1): boolean => Math.abs(value - wanted) < mm;

describe('template.pdf in an independent reader', () => {
  it.each([
    ['letter', 8.5 * 25.4, 11 * 25.4],
    ['a4', 210, 297],
  ] as const)('is one page of %s', async (paper, widthMm, heightMm) => {
    const page = await read({ ...template, job: { ...template.job, paper } });
    expect(page.pages).toBe(1);
    expect(page.widthMm).toBeCloseTo(widthMm, 3);
    expect(page.heightMm).toBeCloseTo(heightMm, 3);
  });

  it('takes the paper of the locale with auto', async () => {
    const job = { ...template.job, paper: 'auto' } as const;
    expect((await read({ ...template, job })).widthMm).toBeCloseTo(210, 3);
    expect((await read({ ...template, job, locale: 'en-US' })).widthMm).toBeCloseTo(215.9, 3);
  });

  it('asks the viewer not to scale, and says no date', async () => {
    const { preferences, info } = await read(template);
    expect(preferences.PrintScaling).toBe('None');
    expect(info.PDFFormatVersion).toBe('1.7');
    expect(info.Title).toBe('Sprig and stars');
    expect(Object.keys(info).filter((key) => /date/i.test(key))).toEqual([]);
  });

  it('keeps the whole name in its title, whatever the script', async () => {
    const page = await read({ ...template, name: '猫 and Łódź' });
    expect(page.info.Title).toBe('猫 and Łódź');
    // In pieces, one a typeface.
    expect(page.text.replaceAll(/\s/g, '')).toContain('猫andŁódź');
  });

  const tall = [solid(rectangle(12, 12, 204.6, 280.8), circle(110, 150, 90))];
  const cards: readonly (readonly [string, Given])[] = [
    ['a card in the middle of a page', template],
    ['a journal page', { ...template, sheet: { widthMm: 127, heightMm: 177.8 } }],
    [
      'a card that fills the paper but for a narrow edge',
      {
        ...template,
        job: { paper: 'letter', margin: 12, tileOverlap: 10 },
        sheet: { widthMm: 203.2, heightMm: 254 },
      },
    ],
    [
      'a card as large as the paper',
      {
        ...template,
        job: { paper: 'a4', margin: 12, tileOverlap: 10 },
        sheet: { widthMm: 210, heightMm: 297 },
      },
    ],
    [
      'a card larger than the paper',
      {
        ...template,
        job: { paper: 'one-page', margin: 12, tileOverlap: 10 },
        sheet: { widthMm: 228.6, heightMm: 304.8 },
        openings: tall,
      },
    ],
    [
      'a card larger than the paper, with a narrow margin',
      {
        ...template,
        job: { paper: 'one-page', margin: 3, tileOverlap: 10 },
        sheet: { widthMm: 300, heightMm: 300 },
      },
    ],
    [
      'a narrow card as long as the paper',
      {
        ...template,
        job: { paper: 'one-page', margin: 6, tileOverlap: 10 },
        sheet: { widthMm: 60, heightMm: 290 },
        openings: [],
      },
    ],
    ['the smallest card', { ...template, sheet: { widthMm: 20, heightMm: 20 }, openings: [] }],
  ];

  describe.each(cards)('%s', (_, given) => {
    const { widthMm, heightMm } = given.sheet;

    it('has the sheet and the drawing at true size', async () => {
      const { drawn } = await read(given);
      const edge = drawn.find(
        (path) => near(path.widthMm, widthMm) && near(path.heightMm, heightMm),
      );
      expect(edge).toBeDefined();
      if (!edge || given.openings.length === 0) return;
      const extent = { left: Infinity, right: -Infinity };
      for (const { outer } of given.openings) {
        for (let i = 0; i < outer.coords.length; i += 2) {
          extent.left = Math.min(extent.left, outer.coords[i]);
          extent.right = Math.max(extent.right, outer.coords[i]);
        }
      }
      // The box of curves and their controls, as the file has them and as they were given.
      const openings = drawn.find(({ lineMm }) => near(lineMm, 0.25, 0.001));
      expect(openings?.widthMm).toBeGreaterThan(0);
      expect(near(openings?.left ?? NaN, edge.left + extent.left, 0.6)).toBe(true);
      expect(near(openings?.widthMm ?? NaN, extent.right - extent.left, 1.2)).toBe(true);
    });

    it('has bars of 50 mm and 2 in', async () => {
      const { drawn, text } = await read(given);
      const long = (path: Drawn): number => Math.max(path.widthMm, path.heightMm);
      const bars = drawn.filter((path) => near(path.lineMm, 0.2, 0.001));
      expect(bars.map(long)).toHaveLength(2);
      expect(near(long(bars[0]), 50, 0.005)).toBe(true);
      expect(near(long(bars[1]), 2 * 25.4, 0.005)).toBe(true);
      expect(text).toContain('50 mm');
      expect(text).toContain('2 in');
    });

    it('says name, size and cautions on the page, off the drawing and off one another', async () => {
      const page = await read(given);
      expect(page.text).toContain(given.name);
      expect(page.text).toMatch(/mm\)|in\)/);
      for (const word of [
        '100 %',
        'no scaling',
        'Hot tips',
        'blades',
        'fumes',
        'heat-proof',
        'Unplug',
        'manual',
      ]) {
        expect(page.text).toContain(word);
      }
      const edge = page.drawn.find(
        (path) => near(path.widthMm, widthMm) && near(path.heightMm, heightMm),
      );
      const { margin } = given.job;
      for (const [i, box] of page.written.entries()) {
        expect(box.left).toBeGreaterThan(0);
        expect(box.top).toBeGreaterThan(0);
        expect(box.right).toBeLessThan(page.widthMm);
        expect(box.bottom).toBeLessThan(page.heightMm);
        const isNumber = /^\d+$/.test(box.text);
        const off =
          isNumber ||
          (edge !== undefined &&
            (box.bottom < edge.top + margin ||
              box.top > edge.top + heightMm - margin ||
              box.right < edge.left + margin ||
              box.left > edge.left + widthMm - margin));
        expect(off, `"${box.text}" lies on the drawing`).toBe(true);
        for (const other of page.written.slice(i + 1)) {
          const apart =
            box.right < other.left ||
            other.right < box.left ||
            box.bottom < other.top ||
            other.bottom < box.top;
          expect(apart, `"${box.text}" lies on "${other.text}"`).toBe(true);
        }
      }
    });
  });
});
