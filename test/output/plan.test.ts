import { describe, expect, it } from 'vitest';
import { completeJob, type JobInput } from '../../src/settings/job.js';
import { planPdf } from '../../src/output/pdf/plan.js';
import { circle, rectangle, solid } from './outlines.js';
import { readPdf } from '../support/pdf.js';
import { planOf } from '../support/plans.js';

const sheet = { widthMm: 228.6, heightMm: 304.8 };
const dots = (count: number) =>
  Array.from({ length: count }, (_, i) =>
    solid(circle(20 + 9 * (i % 20), 20 + 9 * Math.floor(i / 20), 2)),
  );

async function pagesOf(openings: ReturnType<typeof dots>, given: JobInput = {}) {
  const job = completeJob({ paper: 'letter', ...given });
  const plan = planOf(openings, sheet, given);
  return readPdf(await planPdf({ name: 'Fern', openings, plan, sheet, job, locale: 'de-DE' }));
}

describe('plan.pdf', () => {
  it('says what it takes, why, in which order, and what to mind', async () => {
    const [page, ...more] = await pagesOf([solid(rectangle(40, 40, 60, 40)), ...dots(14)]);
    expect(more).toEqual([]);
    expect([page.widthMm, page.heightMm].map(Math.round)).toEqual([216, 279]);
    const text = page.text.replaceAll('\n', ' ');
    for (const words of [
      'Fern: plan',
      '20 min to warm up',
      'Fiddly: 14 pieces smaller than a pea',
      '15 pieces',
      '4 runs for the ruler',
      'Smallest first',
      'Way of the hand between pieces',
      'cut a little past the corner',
      '150 mm a minute',
    ])
      expect(text).toContain(words);
    // The usual cautions, common practice, no source.
    for (const word of [
      'burn',
      'fumes',
      'glass with its edges covered',
      'metal ruler',
      'pull',
      'Unplug',
      'manual',
    ])
      expect(text).toContain(word);
  });

  it('keeps everything on the page, and nothing on anything else', async () => {
    for (const page of await pagesOf(dots(120))) {
      for (const [i, box] of page.written.entries()) {
        expect(box.left).toBeGreaterThan(5);
        expect(box.right).toBeLessThan(page.widthMm - 5);
        expect(box.bottom).toBeLessThan(page.heightMm - 5);
        for (const other of page.written.slice(i + 1)) {
          const apart =
            box.right <= other.left ||
            other.right <= box.left ||
            box.bottom <= other.top ||
            other.bottom <= box.top;
          expect(apart, `"${box.text}" lies on "${other.text}"`).toBe(true);
        }
      }
    }
  });

  it('lists every piece once, on as many pages as it takes', async () => {
    const pages = await pagesOf(dots(300));
    expect(pages.length).toBeGreaterThan(1);
    const numbers = pages.flatMap(({ written }) =>
      written
        .filter(({ text, points }) => /^\d+$/.test(text) && points === 8)
        .map(({ text }) => text),
    );
    for (let number = 1; number <= 300; number++) expect(numbers).toContain(String(number));
  });

  it('can be made of a stencil with no opening', async () => {
    expect(await pagesOf([])).toHaveLength(1);
  });
});
