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
  const [faces, forms] = [{ code: 'faces-gone' }, { code: 'forms-lost' }];
  expect(shortfallIn([forms])).toBe('its small parts have lost their shape');
  expect(shortfallIn([forms, faces])).toBe('its faces have lost their eyes and mouths');
  expect(shortfallIn([forms, faces, little])).toBe('little of the picture is left');
  // A face that lost an eye is told of, but a good stencil may have one.
  expect(isShortfall('faces-lost')).toBe(false);
});
