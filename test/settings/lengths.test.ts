import { describe, expect, it } from 'vitest';
import { completeJob } from '../../src/settings/job.js';
import {
  inUnit,
  largerCard,
  leastSide,
  placeOn,
  sizeOn,
} from '../../src/settings/words/lengths.js';

/* An inch is 25.4 mm: international yard and pound agreement, 1959 (NIST Special Publication 811, appendix B). */
describe('a place on a card', () => {
  it.each([
    ['art-card', [25.4, 50.8], '1, 2 in'],
    ['4 x 6', [12.7, 1.27], '0.5, 0.05 in'],
    ['5″ × 7″', [101.6, 33], '4, 1.3 in'],
    ['a6', [25.44, 50.8], '25.4, 50.8 mm'],
    ['105 x 148', [3, 4.06], '3, 4.1 mm'],
    ['10 cm square', [25.4, 50], '2.54, 5 cm'],
    ['10x15cm', [0, 7.54], '0, 0.75 cm'],
  ] as const)('of %s is told in what that was given in', (card, at, told) => {
    expect(placeOn(card, at)).toBe(told);
  });

  it('comes with what it is told in, and so do sizes', () => {
    expect(inUnit('postcard', [25.4, 12.7, 6.35])).toEqual(['1', '0.5', '0.25']);
    expect(sizeOn('art-card', { widthMm: 88.9, heightMm: 63.5 })).toBe('3.5 × 2.5 in');
    expect(sizeOn('a5', { widthMm: 88.9, heightMm: 63.5 })).toBe('88.9 × 63.5 mm');
  });
});

describe('a larger card', () => {
  const square = { widthMm: 101.6, heightMm: 101.6 };
  it.each([
    // 4 in × 1.3 = 5.2 in, in steps of a quarter; 132.08 mm, of 5 mm; 13.208 cm, of half a cm.
    ['art-card', '5.25 × 5.25 in'],
    ['101.6x101.6mm', '135 × 135 mm'],
    ['10.16 cm square', '13.5 × 13.5 cm'],
  ])('than %s is advised in its unit, in whole steps', (card, told) => {
    expect(largerCard(card, square, 1.3)).toBe(told);
  });

  it('is asked for in its unit where limits leave no room, and in mm, as they are given', () => {
    expect(leastSide('a6', 103.2)).toBe('104 mm');
    // 103.2 mm = 4.06 in.
    expect(leastSide('art-card', 103.2)).toBe('4.25 in (104 mm)');
    expect(() => completeJob({ card: '4 x 4', margin: 48 })).toThrow(
      /at least 4\.25 in \(1\d\d mm\) a side/,
    );
    expect(() => completeJob({ card: '100x100mm', margin: 48 })).toThrow(
      /at least 1\d\d mm a side/,
    );
  });
});
