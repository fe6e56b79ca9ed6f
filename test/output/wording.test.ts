import { describe, expect, it } from 'vitest';
import { nameIn, printable, sizeInWords } from '../../src/output/pdf/wording.js';

describe('sizeInWords', () => {
  it.each([
    [101.6, 101.6, '4 × 4 in (101.6 × 101.6 mm)'],
    [63.5, 88.9, '2.5 × 3.5 in (63.5 × 88.9 mm)'],
    [3.125 * 25.4, 127, '3.125 × 5 in (79.4 × 127 mm)'],
    [105, 148, '105 × 148 mm (4.13 × 5.83 in)'],
    [85.6, 53.98, '85.6 × 54 mm (3.37 × 2.13 in)'],
  ])('%d by %d mm', (widthMm, heightMm, words) => {
    expect(sizeInWords({ widthMm, heightMm })).toBe(words);
  });
});

describe('printable', () => {
  it.each([
    ['Café', '', ', mirrored'],
    ['جدة', 'Tones of ', ''],
    ['nana\u2069 \u2068', '', ': plan'],
  ])('is found again in a line: %j', (name, before, after) => {
    const line = `${before}${printable(name, 'Stencil')}${after}`;
    expect(nameIn(line)).toEqual({ before, name, after });
  });

  it('says something else where there is no name', () => {
    expect(printable('', 'Stencil')).toBe('Stencil');
    expect(nameIn('Stencil: plan')).toBeUndefined();
  });
});
