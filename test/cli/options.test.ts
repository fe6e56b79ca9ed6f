import { describe, expect, it } from 'vitest';
import { optionWords, readNumber, settingsGiven } from '../../cli/options.js';
import { optionName } from '../../cli/setting-option.js';

describe('numbers on the command line', () => {
  it.each<[string, 'mm' | 'mm²' | '%' | 'px/in' | 'mm/min', number | undefined]>([
    ['6', 'mm', 6],
    ['6mm', 'mm', 6],
    ['1,5', 'mm', 1.5],
    ['.5 cm', 'mm', 5],
    ['0.25in', 'mm', 6.35],
    ['6"', 'mm', 152.4],
    ['-3', 'mm', -3],
    ['3mm²', 'mm²', 3],
    ['3mm2', 'mm²', 3],
    ['40%', '%', 40],
    ['2 inches', 'mm', 50.8],
    ['2cm²', 'mm²', 200],
    ['300', 'px/in', 300],
    ['300dpi', 'px/in', 300],
    ['300 ppi', 'px/in', 300],
    ['300 px/in', 'px/in', 300],
    ['100 px/cm', 'px/in', 254],
    ['12cm/min', 'mm/min', 120],
    ['300 mm', 'px/in', undefined],
    ['300dpi', 'mm', undefined],
    ['3 constructor', 'mm', undefined],
    ['3mm', '%', undefined],
    ['3%', 'mm', undefined],
    ['3mm', 'mm²', undefined],
    ['', 'mm', undefined],
    ['1e3', 'mm', undefined],
    ['six', 'mm', undefined],
    ['Infinity', 'mm', undefined],
  ])('%s as %s', (text, unit, number) => {
    expect(readNumber(text, unit)).toBe(number);
  });
});

describe('options', () => {
  it('are named after the settings', () => {
    expect(optionName('narrowestOpening')).toBe('narrowest-opening');
    expect(optionName('card')).toBe('card');
  });

  it('give only what was given; a text that is no number stays a text', () => {
    expect(settingsGiven({ margin: '6mm', swap: true, tone: 'edges', level: 'much' })).toEqual({
      margin: 6,
      swap: true,
      tone: 'edges',
      level: 'much',
    });
    expect(settingsGiven({})).toEqual({});
  });

  it('stand before a lone --', () => {
    expect(optionWords(['make', '--swap', '--', '--help'])).toEqual(['make', '--swap']);
    expect(optionWords(['make', '--swap'])).toEqual(['make', '--swap']);
  });
});
