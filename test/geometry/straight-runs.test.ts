import { describe, expect, it } from 'vitest';
import { flatten } from '../../src/geometry/flatten.js';
import { straightRuns } from '../../src/geometry/straight-runs.js';
import { circle } from '../support/openings.js';

const lengths = (polygon: Float64Array): number[] =>
  straightRuns(polygon, 15, 0.15).map(({ lengthMm }) => Math.round(lengthMm));

describe('straight runs', () => {
  it('go through points that lie on them, wherever the polygon starts', () => {
    const house = [0, 0, 10, 0.1, 20, 0, 30, 0, 30, 20, 15, 35, 0, 20];
    for (let turn = 0; turn < house.length; turn += 2) {
      const turned = Float64Array.from([...house.slice(turn), ...house.slice(0, turn)]);
      expect(lengths(turned).sort()).toEqual([20, 20, 21, 21, 30]);
    }
  });

  it('end where the line wanders off, or turns back', () => {
    const bent = lengths(Float64Array.of(0, 0, 20, 0.4, 40, 0, 20, 30));
    expect(bent.filter((length) => length === 20)).toHaveLength(2);
    const back = lengths(Float64Array.of(0, 0, 20, 0, 16, 0.05, 40, 0, 20, 30));
    expect(back.filter((length) => length === 40)).toHaveLength(0);
  });

  it('are found on a circle only where it is so large that a ruler lies along it', () => {
    // A chord of 15 mm stands 15²/8r off its arc: 0.15 mm at a radius of 187.5 mm.
    expect(lengths(flatten(circle(0, 0, 150)))).toEqual([]);
    expect(lengths(flatten(circle(0, 0, 260), 0.001)).length).toBeGreaterThan(0);
  });
});
