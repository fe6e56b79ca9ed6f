import { describe, expect, it } from 'vitest';
import { practiceRows, practiceStrip } from '../../src/makings/practice/practice-strip.js';
import { practicePdf, practiceSvg } from '../../src/output/pdf/practice.js';
import { components, distancesToZero, inverse } from '../support/opencv.js';
import { readPdf } from '../support/pdf.js';
import { paintedBy } from '../support/resvg.js';

/*
 * The practice strip measured by others: practice.pdf read by pdfjs-dist (page boxes: ISO 216, ANSI/ASME Y14.1; one
 * unit is 1/72 in, ISO 32000-1, 8.3.2.3), practice.svg drawn by resvg and measured by OpenCV.
 */

const strip = practiceStrip();
const sizes = Object.values(practiceRows).flatMap((row) => row.sizes.map(String));

describe('practice.pdf in an independent reader', () => {
  it.each([
    ['letter', 8.5 * 25.4, 11 * 25.4],
    ['a4', 210, 297],
  ] as const)('is one page of %s, at true size', async (paper, widthMm, heightMm) => {
    const pages = await readPdf(await practicePdf(strip, paper, 'de-DE'));
    expect(pages).toHaveLength(1);
    const [page] = pages;
    expect(page.widthMm).toBeCloseTo(widthMm, 3);
    expect(page.heightMm).toBeCloseTo(heightMm, 3);
    expect(page.preferences.PrintScaling).toBe('None');
    const has = (width: number, height: number): boolean =>
      page.drawn.some(
        (one) => Math.abs(one.widthMm - width) < 0.1 && Math.abs(one.heightMm - height) < 0.1,
      );
    expect(has(strip.sheet.widthMm, strip.sheet.heightMm), 'the strip’s edge').toBe(true);
    expect(
      page.drawn.some((one) => Math.abs(one.widthMm - 50) < 0.1),
      '50 mm bar',
    ).toBe(true);
    expect(
      page.drawn.some((one) => Math.abs(one.widthMm - 50.8) < 0.1),
      '2 in bar',
    ).toBe(true);
  });

  it('labels every size of every row, says what to do and the cautions', async () => {
    const [page] = await readPdf(await practicePdf(strip, 'a4', 'de-DE'));
    const words = page.written.map(({ text }) => text);
    for (const size of sizes) expect(words).toContain(size);
    for (const { title } of Object.values(practiceRows)) expect(words).toContain(title);
    expect(page.text).toMatch(/Cut every piece/);
    expect(page.text).toMatch(/fresh air/);
  });
});

describe('practice.svg in an independent renderer', () => {
  const PIXELS_PER_MM = 20;
  // Without labels and lines: what is cut.
  const bare = practiceSvg(strip)
    .replace(/<g id="labels"[^]*<\/g>/, '')
    .replace(/ stroke="[^"]*"/g, '');
  const bitmap = paintedBy(bare, PIXELS_PER_MM * 25.4);
  const { width, height } = bitmap;
  const openings = components(bitmap, 8);

  it('is as large as it says, with an opening for each thing to cut', () => {
    expect(width / PIXELS_PER_MM).toBeCloseTo(strip.sheet.widthMm, 1);
    expect(height / PIXELS_PER_MM).toBeCloseTo(strip.sheet.heightMm, 1);
    // Strips and bridges lie between two; the last row is for scissors, in from the edge.
    expect(openings.count).toBe(7 * (4 + 2 + 2) + 7);
    const row = bitmap.data.subarray((height - 20) * width, (height - 19) * width);
    const snips = row
      .join('')
      .match(/1+/g)
      ?.map((run) => run.length / PIXELS_PER_MM);
    expect(snips).toEqual([6, 5, 4, 3.5, 3, 2.5, 2].map((mm) => expect.closeTo(mm, 1) as number));
    expect(components(inverse(bitmap), 4).count).toBe(1);
  });

  it('has each thing in the size that its label says', () => {
    const boxes = strip.openings.map(({ outer }) => {
      const xs = outer.coords.filter((_, i) => i % 2 === 0);
      const ys = outer.coords.filter((_, i) => i % 2 === 1);
      return {
        x: (Math.min(...xs) + Math.max(...xs)) / 2,
        y: (Math.min(...ys) + Math.max(...ys)) / 2,
      };
    });
    const area = (i: number): number => {
      const { x, y } = boxes[i];
      const label =
        openings.labels[Math.floor(y * PIXELS_PER_MM) * width + Math.floor(x * PIXELS_PER_MM)];
      return openings.areas[label] / PIXELS_PER_MM ** 2;
    };
    const { slot, dot, corner, turn } = practiceRows;
    slot.sizes.forEach((size, i) => expect(area(i)).toBeCloseTo(size * 9, -0.5));
    dot.sizes.forEach((size, i) =>
      expect(area(7 + i) / ((Math.PI / 4) * size ** 2)).toBeCloseTo(1, 1),
    );
    corner.sizes.forEach((size, i) => expect(area(14 + i) / size ** 2).toBeCloseTo(1, 1));
    // A square of 9 mm less what its round corners lack: (4 − π) r².
    turn.sizes.forEach((size, i) =>
      expect(area(21 + i)).toBeCloseTo(81 - (4 - Math.PI) * size ** 2, 0),
    );
  });

  it('has the strips and bridges as wide as their labels say', () => {
    const across = distancesToZero(inverse(bitmap));
    const pairs = strip.openings.slice(28);
    const widths = [...practiceRows.strip.sizes, ...practiceRows.bridge.sizes];
    widths.forEach((size, i) => {
      const [left, right] = [pairs[2 * i].outer.coords, pairs[2 * i + 1].outer.coords];
      const middle = (Math.max(...left.filter((_, k) => k % 2 === 0)) + right[0]) / 2;
      const y = (left[1] + left[13]) / 2;
      const at = Math.floor(y * PIXELS_PER_MM) * width + Math.floor(middle * PIXELS_PER_MM);
      expect((2 * across[at]) / PIXELS_PER_MM).toBeCloseTo(size, 0);
      expect(Math.abs((2 * across[at]) / PIXELS_PER_MM - size)).toBeLessThan(0.11);
    });
  });
});
