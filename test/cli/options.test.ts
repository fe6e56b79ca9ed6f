import { describe, expect, it } from 'vitest';
import {
  optionName,
  parseWords,
  readNumber,
  settingOptions,
  settingsGiven,
} from '../../cli/options.js';
import { Problem } from '../../src/index.js';

describe('numbers on the command line', () => {
  it.each<[string, 'mm' | 'mm²' | '%', number | undefined]>([
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

  it('give only what was given; of two the last; a text that is no number stays a text', () => {
    expect(
      settingsGiven({ margin: ['3', '6mm'], swap: true, tone: 'edges', level: 'much' }),
    ).toEqual({
      margin: 6,
      swap: true,
      tone: 'edges',
      level: 'much',
    });
    expect(settingsGiven({})).toEqual({});
  });
});

describe('words', () => {
  const kinds = { ...settingOptions(), json: { type: 'boolean', multiple: true } } as const;

  it('are options and pictures, in any order; after -- all are pictures', () => {
    const { options, rest } = parseWords(
      ['1.jpg', '--margin=6', '--no-swap', '--json', 'b.png', '--', '--card'],
      kinds,
    );
    expect(options).toEqual({ margin: ['6'], swap: [false], json: [true] });
    expect(rest).toEqual(['1.jpg', 'b.png', '--card']);
  });

  it.each([
    [['--colour', 'red'], /no option called --colour/],
    [['-x'], /no option called -x/],
    [['--margin'], /--margin needs a value/],
    [['--margin', '--swap'], /--margin needs a value/],
    [['--json=yes'], /--json takes no value/],
  ])('%j is refused in words', (args, words) => {
    expect(() => parseWords(args, kinds)).toThrow(Problem);
    expect(() => parseWords(args, kinds)).toThrow(words);
  });
});
