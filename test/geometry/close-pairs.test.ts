import { expect, it } from 'vitest';
import { closePairs } from '../../src/geometry/close-pairs.js';
import { flatten } from '../../src/geometry/flatten.js';
import { circle, rectangle } from '../support/openings.js';

it('pairs are those that come closer than the reach', () => {
  const circles = [0, 22, 60, 83].map((x) => flatten(circle(x, 0, 10)));
  expect(closePairs(circles, 2.5)).toEqual([[0, 1]]);
  expect(closePairs(circles, 3.2).sort()).toEqual([
    [0, 1],
    [2, 3],
  ]);
});

it('sides without points between their ends count all along', () => {
  const bars = [rectangle(0, 0, 100, 5), rectangle(40, 7, 2, 30), rectangle(0, 40, 100, 5)];
  expect(
    closePairs(
      bars.map((bar) => flatten(bar)),
      2.2,
    ),
  ).toEqual([[0, 1]]);
  expect(
    closePairs(
      bars.map((bar) => flatten(bar)),
      3.2,
    ).sort(),
  ).toEqual([
    [0, 1],
    [1, 2],
  ]);
});
