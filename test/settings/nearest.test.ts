import { describe, expect, it } from 'vitest';
import { settings } from '../../src/settings/job.js';
import { didYouMean, nearestWord } from '../../src/settings/words/nearest.js';

describe('the word that was meant', () => {
  const names = Object.keys(settings);

  it.each([
    ['magin', 'margin'],
    ['marign', 'margin'],
    ['narrowest-strip', 'narrowestStrip'],
    ['NARROWESTSTRIP', 'narrowestStrip'],
    ['narowestStirp', 'narrowestStrip'],
    ['motif size', 'motifSize'],
    ['strip', 'narrowestStrip'],
    ['bridgewidthmm', 'bridgeWidth'],
    ['tonne', 'tone'],
  ])('%s is %s', (word, meant) => {
    expect(nearestWord(word, names)).toBe(meant);
  });

  it.each(['', '-', 'x', 'in', 'colour', 'quality', 'toString'])('%s is none of them', (word) => {
    expect(nearestWord(word, names)).toBeUndefined();
  });

  it('each is nearest to itself, and with any one letter left out', () => {
    for (const name of names) {
      expect(nearestWord(name, names)).toBe(name);
      if (name.length < 6) continue;
      for (let i = 0; i < name.length; i++) {
        expect(nearestWord(name.slice(0, i) + name.slice(i + 1), names)).toBe(name);
      }
    }
  });

  it('is asked for, and what else to do is said in any case', () => {
    expect(didYouMean('magin', names, 'See the list')).toBe('Did you mean margin? See the list');
    expect(didYouMean('colour', names, 'See the list')).toBe('See the list');
  });
});
