import { describe, expect, it } from 'vitest';
import { printable, sizeInWords } from '../../src/sheets/wording.js';

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
    ['heron by the pond', 'heron by the pond'],
    ['Café “Größe” €5 – Ægir…', 'Café “Größe” €5 – Ægir…'],
    ['Őszi Łódź čaj ığdır', 'Oszi Lódz caj igdir'],
    ['e\u0301te\u0301', 'été'],
    ['猫 cat 🐈 2', 'cat 2'],
    ['ﬁligree ½', 'filigree ½'],
    ['tab\tand\u0000null', 'tab and null'],
    ['猫', 'Stencil'],
    ['🐈 !', 'Stencil'],
    ['', 'Stencil'],
  ])('%j', (name, printed) => {
    expect(printable(name, 'Stencil')).toBe(printed);
  });
});
