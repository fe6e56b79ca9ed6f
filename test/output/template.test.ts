import { describe, expect, it } from 'vitest';
import { templatePdf, type Template } from '../../src/output/pdf/template.js';
import { planOf } from '../support/plans.js';
import { sprig } from './outlines.js';

const template: Template = {
  name: 'Sprig',
  openings: sprig,
  sheet: { widthMm: 101.6, heightMm: 101.6 },
  job: { paper: 'auto', margin: 6, tileOverlap: 10 },
  plan: planOf(sprig),
  locale: 'en-US',
};
const latin1 = (bytes: Uint8Array): string => Buffer.from(bytes).toString('latin1');

describe('templatePdf', () => {
  it('gives the same bytes for the same template, and others for another', async () => {
    const first = await templatePdf(template);
    expect(await templatePdf(template)).toEqual(first);
    expect(await templatePdf({ ...template, name: 'Sprog' })).not.toEqual(first);
  });

  it('has no date in it', async () => {
    const pdf = latin1(await templatePdf(template));
    expect(pdf).toMatch(/^%PDF-1\./);
    expect(pdf).not.toMatch(/Date|\(D:|19\d\d-|20\d\d-/);
  });

  it.each(['猫', '🐈‍⬛', '', 'a'.repeat(400), 'עברית', '(\\)', '50 % <b>&amp;', 'Łódź\u0000'])(
    'can print the name %j',
    async (name) => {
      const pdf = latin1(await templatePdf({ ...template, name }));
      expect(pdf.trimEnd().endsWith('%%EOF')).toBe(true);
      expect(pdf.match(/\/Type \/Page\n/g)).toHaveLength(1);
    },
  );

  it('can print a stencil with no opening', async () => {
    const bytes = await templatePdf({ ...template, openings: [], plan: planOf([]) });
    expect(bytes.length).toBeGreaterThan(1000);
    expect(bytes.length).toBeLessThan((await templatePdf(template)).length);
  });
});
