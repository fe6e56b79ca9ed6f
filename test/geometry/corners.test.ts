import { describe, expect, it } from 'vitest';
import { evenly, chainLength, type Chain } from '../../src/geometry/chain.js';
import { cornerStepMm, trueCorners } from '../../src/geometry/corners.js';

/** A closed chain through some places, at the step that corners are looked for with. */
function chain(places: readonly (readonly [number, number])[]): Chain {
  const closed = [...places, places[0]];
  const x = Float64Array.from(closed, ([value]) => value);
  const y = Float64Array.from(closed, ([, value]) => value);
  const even = evenly(x, y, Math.round(chainLength(x, y) / cornerStepMm));
  return { x: even.x.slice(0, -1), y: even.y.slice(0, -1) };
}

/** A rectangle of 10 × 6 mm whose corners are rounded by a radius. */
function rounded(radius: number): Chain {
  const places: [number, number][] = [];
  const centres = [
    [10 - radius, radius],
    [10 - radius, 6 - radius],
    [radius, 6 - radius],
    [radius, radius],
  ];
  centres.forEach(([x, y], quarter) => {
    for (let k = 0; k <= 20; k++) {
      const angle = ((quarter - 1 + k / 20) * Math.PI) / 2;
      places.push([x + radius * Math.cos(angle), y + radius * Math.sin(angle)]);
    }
  });
  return chain(places);
}

describe('trueCorners', () => {
  it.each([0.01, 0.2, 0.4])('draws corners that are rounded by %f mm sharp again', (radius) => {
    const corners = trueCorners(rounded(radius));
    expect(corners).toHaveLength(4);
    for (const { x, y, offMm } of corners) {
      expect(Math.min(Math.abs(x), Math.abs(x - 10))).toBeLessThan(0.05);
      expect(Math.min(Math.abs(y), Math.abs(y - 6))).toBeLessThan(0.05);
      expect(offMm).toBeLessThan(0.22);
    }
  });

  it.each([1, 1.5, 2.5])('leaves a corner of radius %f mm round', (radius) => {
    expect(trueCorners(rounded(radius))).toEqual([]);
  });

  it('finds none on a circle', () => {
    const circle = Array.from({ length: 400 }, (_, i): [number, number] => [
      4 * Math.cos((i * Math.PI) / 200),
      4 * Math.sin((i * Math.PI) / 200),
    ]);
    expect(trueCorners(chain(circle))).toEqual([]);
  });

  it('finds blunt corners between long sides only', () => {
    const round = (count: number, radius: number): Chain =>
      chain(
        Array.from({ length: count }, (_, i): [number, number] => {
          const angle = 0.1 + (2 * Math.PI * i) / count;
          return [radius * Math.cos(angle), radius * Math.sin(angle)];
        }),
      );
    expect(trueCorners(round(8, 6))).toHaveLength(8);
    expect(trueCorners(round(24, 6))).toHaveLength(0);
  });
});
