import { describe, expect, it } from 'vitest';
import { namedCards, parseCard, pixelsPerMm } from '../../src/settings/card.js';
import { Problem } from '../../src/settings/problem.js';

describe('published sizes', () => {
  // ISO 216, the A series, in mm.
  it.each([
    ['a3', 297, 420],
    ['a4', 210, 297],
    ['a5', 148, 210],
    ['a6', 105, 148],
    ['a7', 74, 105],
  ])('%s is that of ISO 216', (name, widthMm, heightMm) => {
    expect(parseCard(name)).toEqual({ widthMm, heightMm });
  });

  it('the A series halves: each size is the one before, folded across, to the whole mm below (ISO 216)', () => {
    for (const [larger, smaller] of [
      ['a3', 'a4'],
      ['a4', 'a5'],
      ['a5', 'a6'],
      ['a6', 'a7'],
    ]) {
      const before = parseCard(larger);
      expect(parseCard(smaller)).toEqual({
        widthMm: Math.floor(before.heightMm / 2),
        heightMm: before.widthMm,
      });
    }
  });

  it('the sides of the A series are as 1 : √2, to the tolerance of ISO 216 (1.5 mm up to 150 mm)', () => {
    for (const name of ['a3', 'a4', 'a5', 'a6', 'a7']) {
      const { widthMm, heightMm } = parseCard(name);
      expect(Math.abs(widthMm * Math.SQRT2 - heightMm)).toBeLessThan(1.5);
    }
  });

  it('the identification card is ID-1 of ISO/IEC 7810', () => {
    expect(parseCard('id-card')).toEqual({ widthMm: 85.6, heightMm: 53.98 });
  });

  it('letter paper is size A of ANSI/ASME Y14.1: 8.5 × 11 in', () => {
    const { widthMm, heightMm } = parseCard('letter');
    expect(widthMm).toBeCloseTo(215.9, 9);
    expect(heightMm).toBeCloseTo(279.4, 9);
  });

  // Common practice, no source.
  it.each([
    ['art-card', 4, 4],
    ['film-sheet', 9, 12],
  ])('%s is %d × %d in', (name, width, height) => {
    const sheet = parseCard(name);
    expect(sheet.widthMm / 25.4).toBeCloseTo(width, 9);
    expect(sheet.heightMm / 25.4).toBeCloseTo(height, 9);
  });

  it('every named card can be asked for by its name, and says where its size comes from', () => {
    for (const card of namedCards) {
      expect(parseCard(card.name.toUpperCase().replaceAll('-', ' '))).toEqual({
        widthMm: card.widthMm,
        heightMm: card.heightMm,
      });
      expect(card.source).not.toBe('');
    }
  });
});

describe('given sizes', () => {
  // 1 in = 25.4 mm exactly: the international yard and pound agreement of 1959.
  it.each([
    ['4x4in', 101.6, 101.6],
    ['105 x 148 mm', 105, 148],
    ['10×15cm', 100, 150],
    ['2.5in x 90mm', 63.5, 90],
    ['4"x6"', 101.6, 152.4],
    ['4,5x4,5in', 114.3, 114.3],
    ['4.5 x 4.5 in', 114.3, 114.3],
    ['10,5 × 15 cm', 105, 150],
    ['4 inches x 6 inches', 101.6, 152.4],
    ['10 cm', 100, 100],
    ['4in', 101.6, 101.6],
    ['4x4 inches', 101.6, 101.6],
    ['10 cm square', 100, 100],
    ['4 by 6 in', 101.6, 152.4],
    // Without a unit, as cards are called. Common practice, no source.
    ['5x7', 127, 177.8],
    ['4 x 4', 101.6, 101.6],
    ['105x148', 105, 148],
  ])('%s', (text, widthMm, heightMm) => {
    const sheet = parseCard(text);
    expect(sheet.widthMm).toBeCloseTo(widthMm, 9);
    expect(sheet.heightMm).toBeCloseTo(heightMm, 9);
  });

  it('turns', () => {
    expect(parseCard('148x105mm', 'portrait')).toEqual({ widthMm: 105, heightMm: 148 });
    expect(parseCard('a6', 'landscape')).toEqual({ widthMm: 148, heightMm: 105 });
    expect(parseCard('148x105mm', 'as-given')).toEqual({ widthMm: 148, heightMm: 105 });
  });

  it.each(['', 'square', '4,5in', '4', 'x', '-4x4in', '4x4ft', '1e3x4in', 'NaNxNaNmm', 'large'])(
    'refuses "%s" in words',
    (text) => {
      expect(() => parseCard(text)).toThrow(Problem);
      expect(() => parseCard(text)).toThrow(/is not a card size .*4x4in/);
    },
  );

  it.each([
    ['5x5mm', /too small .*at least 20 mm/],
    ['0x50mm', /too small .*at least 20 mm/],
    ['1001x50mm', /too large .*at most 1000 mm/],
    ['2x2m', /is not a card size/],
    ['10x15', /Say in what, as in 10x15in or 10x15cm/],
    ['postcrad', /Did you mean postcard\?/],
  ])('refuses %s, and says what would do', (text, says) => {
    expect(() => parseCard(text)).toThrow(Problem);
    expect(() => parseCard(text)).toThrow(says);
  });
});

describe('raster scale', () => {
  it('is 10 px a mm up to 16 megapixels, and coarser beyond', () => {
    expect(pixelsPerMm(parseCard('4x4in'))).toBe(10);
    expect(pixelsPerMm(parseCard('a3'))).toBe(10);
    const large = parseCard('1000x1000mm');
    const scale = pixelsPerMm(large);
    expect(scale).toBeLessThan(10);
    expect(large.widthMm * scale * large.heightMm * scale).toBeCloseTo(16_000_000, 0);
  });
});
