import { describe, expect, it } from 'vitest';
import { foldPattern, parallelFolds } from '../../src/geometry/fold-pattern.js';
import { slitsAtFolds } from '../../src/stages/bridge/beside-folds.js';
import type { Tie } from '../../src/stages/bridge/tie.js';

const sheet = { widthMm: 80, heightMm: 40 };
const strip = foldPattern({ fold: 'to-and-fro', foldPanels: '4', sheet })!;
const folds = parallelFolds(strip);

const tie = (x0: number, x1: number, widthMm: number): Tie => ({
  from: 1,
  to: 2,
  start: { x: x0, y: 9 },
  end: { x: x1, y: 21 },
  gapStart: { x: x0, y: 10 },
  gapEnd: { x: x1, y: 20 },
  widthMm,
  followsNeck: false,
  cost: 1,
  origin: 'proposed',
});

describe('the folds of a strip', () => {
  it('are its panels’ sides and its ends; a wedge has none that are parallel', () => {
    expect(folds.map(({ at }) => at.x)).toEqual([0, 20, 40, 60, 80]);
    const wedge = foldPattern({ fold: 'quarter', foldPanels: '2', sheet })!;
    expect(parallelFolds(wedge)).toEqual([]);
  });
});

describe('a tie beside a fold', () => {
  it('takes the slit to its image with it: from its own middle line to the image’s', () => {
    // 3 mm wide, 1.7 mm off the fold at 20: a slit of 0.4 mm between it and its image.
    const [slit, ...others] = slitsAtFolds([tie(21.7, 21.7, 3)], folds, 2.4);
    expect(others).toEqual([]);
    expect(slit).toMatchObject({ followsNeck: true, plain: true });
    expect([slit.start, slit.end]).toEqual([
      { x: 20, y: 9 },
      { x: 20, y: 21 },
    ]);
    expect(slit.widthMm).toBeCloseTo(3.4, 9);
  });

  it('does at an end of the strip, too, which other panels have for a fold', () => {
    expect(slitsAtFolds([tie(78.3, 78.3, 3)], folds, 2.4)).toHaveLength(1);
  });

  it.each([
    ['with room for a blade between', tie(22.8, 22.8, 3)],
    ['that lies on its fold', tie(20, 20, 3)],
    ['that reaches over its fold all along', tie(21, 21, 3)],
    ['that crosses its fold', tie(18, 22, 3)],
    ['that goes off from its fold', tie(21.7, 26, 3)],
  ])('leaves none %s', (_, one) => {
    expect(slitsAtFolds([one], folds, 2.4)).toEqual([]);
  });
});
