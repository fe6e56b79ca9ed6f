import { expect, it } from 'vitest';
import { isShortfall, shortfallIn } from '../../src/settings/words/shortfall.js';

it('of what a stencil lacks the gravest is told first, whatever the order of its findings', () => {
  const [little, writing] = [{ code: 'little-kept' }, { code: 'writing-small' }];
  expect(shortfallIn([])).toBe(undefined);
  expect(['left-out', 'little-kept', 'writing-small'].map(isShortfall)).toEqual([
    false,
    true,
    true,
  ]);
  expect(shortfallIn([{ code: 'left-out' }, { code: 'creep' }])).toBe(undefined);
  expect(shortfallIn([{ code: 'left-out' }, little])).toBe('little of the picture is left');
  expect(shortfallIn([little, writing])).toBe('its writing is too small to be read');
});
