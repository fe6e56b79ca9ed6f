import { describe, expect, it } from 'vitest';
import { paperFor } from '../../src/output/pdf/paper.js';

describe('paperFor', () => {
  it.each([
    ['en-US', 'letter'],
    ['en_US.UTF-8', 'letter'],
    ['fr-CA', 'letter'],
    ['es_MX.UTF-8@variant', 'letter'],
    ['fil-PH', 'letter'],
    ['zh-Hant-US', 'letter'],
    ['en-GB', 'a4'],
    ['de_DE.UTF-8', 'a4'],
    ['hu', 'a4'],
    ['ca', 'a4'],
    ['en', 'a4'],
    ['C', 'a4'],
    ['C.UTF-8', 'a4'],
    ['', 'a4'],
  ])('auto in the locale %j', (locale, paper) => {
    expect(paperFor('auto', locale)).toBe(paper);
  });

  it('takes the paper that was chosen, wherever it is', () => {
    expect(paperFor('a4', 'en-US')).toBe('a4');
    expect(paperFor('letter', 'de-DE')).toBe('letter');
  });
});
