import { describe, expect, it } from 'vitest';
import { findNecks } from '../../src/geometry/necks.js';
import { turnedBack } from '../../src/geometry/outline.js';
import type { Outline, Shape } from '../../src/geometry/shape.js';
import { circle, polygon, rectangle, solid } from '../output/outlines.js';

const sheet = { widthMm: 60, heightMm: 60 };
const limits = { film: 1.6, opening: 1.5 };
const find = (...shapes: Shape[]) => findNecks(shapes, sheet, limits);

/** Two rooms of 10 mm with a neck of a width between them, turned about the middle of the sheet. */
function dumbbell(neckMm: number, radians: number): Outline {
  const half = neckMm / 2;
  const points: [number, number][] = [
    [-12, -5],
    [-2, -5],
    [-2, -half],
    [2, -half],
    [2, -5],
    [12, -5],
    [12, 5],
    [2, 5],
    [2, half],
    [-2, half],
    [-2, 5],
    [-12, 5],
  ];
  const [cos, sin] = [Math.cos(radians), Math.sin(radians)];
  return polygon(points.map(([x, y]) => [30 + x * cos - y * sin, 30 + x * sin + y * cos]));
}

describe('findNecks', () => {
  const widths = [0.05, 0.3, 0.77, 1.3, 1.44, 1.49];

  it.each(widths)('measures an opening’s neck of %f mm to 0.01 mm, at any angle', (neckMm) => {
    for (const radians of [0, 0.3, Math.PI / 4, 1.2]) {
      const necks = find(solid(dumbbell(neckMm, radians)));
      expect(necks).toHaveLength(1);
      expect(necks[0].region).toBe('opening');
      expect(necks[0].widthMm).toBeCloseTo(neckMm, 2);
      const { from, to } = necks[0];
      expect(Math.hypot((from.x + to.x) / 2 - 30, (from.y + to.y) / 2 - 30)).toBeLessThan(2.2);
    }
  });

  it.each([1.5, 1.6, 4])('passes a neck of %f mm', (neckMm) => {
    expect(find(solid(dumbbell(neckMm, 0.3)))).toEqual([]);
  });

  it.each([0.4, 1.2, 1.55])('measures a strip of film of %f mm between two openings', (stripMm) => {
    const [left, right] = [solid(circle(20, 30, 8)), solid(circle(36 + stripMm, 30, 8))];
    const island = find(withIsland(stripMm));
    for (const necks of [find(left, right), island]) {
      expect(necks).toHaveLength(1);
      expect(necks[0].region).toBe('film');
      expect(necks[0].widthMm).toBeCloseTo(stripMm, 2);
    }
  });

  it('finds a neck of parts that are short of the limit themselves, as far as it is told to', () => {
    // Two rooms of 1.3 mm, which half of 1.5 mm taken off either side leaves nothing of, with a neck between.
    const rooms = (neckMm: number): Shape => {
      const [x, half] = [7, neckMm / 2];
      return solid(
        polygon([[10, 9.35], [10 + x, 9.35], [10 + x, 10 - half], [18 + x, 10 - half], [18 + x, 9.35], [18 + 2 * x, 9.35],
          [18 + 2 * x, 10.65], [18 + x, 10.65], [18 + x, 10 + half], [10 + x, 10 + half], [10 + x, 10.65], [10, 10.65]]),
      ); // prettier-ignore
    };
    const necks = (partShort: number | undefined, neckMm: number) =>
      findNecks([rooms(neckMm)], sheet, { ...limits, ...(partShort && { partShort }) }).filter(
        ({ allOver }) => !allOver,
      );
    expect(necks(undefined, 0.8)).toEqual([]);
    expect(necks(0.05, 0.8)).toEqual([]);
    const [neck, ...others] = necks(0.3, 0.8);
    expect(neck.widthMm).toBeCloseTo(0.8, 2);
    expect(others).toEqual([]);
    // What is no narrower than parts may be is none of them.
    expect(necks(0.3, 1.22)).toEqual([]);
  });

  it('sees the edge of the sheet', () => {
    const necks = find(solid(rectangle(25, 1.2, 10, 57.4)));
    expect(necks.map(({ region }) => region)).toEqual(['film', 'film']);
    expect(necks.map(({ widthMm }) => widthMm).toSorted()).toEqual([
      expect.closeTo(1.2, 2),
      expect.closeTo(1.4, 2),
    ]);
    expect(find(solid(rectangle(2, 2, 56, 57)))).toMatchObject([{ region: 'film' }]);
  });

  it('takes no corner for a neck, however sharp', () => {
    const star = Array.from({ length: 14 }, (_, k): [number, number] => {
      const radius = k % 2 === 0 ? 20 : 6;
      return [30 + radius * Math.cos((k * Math.PI) / 7), 30 + radius * Math.sin((k * Math.PI) / 7)];
    });
    expect(find(solid(polygon(star)))).toEqual([]);
  });

  it('finds an opening that is narrow all over, by its widest place', () => {
    const necks = find(solid(rectangle(20, 30, 12, 1.2)));
    expect(necks).toHaveLength(1);
    expect(necks[0]).toMatchObject({ region: 'opening', allOver: true });
    expect(necks[0].widthMm).toBeCloseTo(1.2, 1);
  });

  it('finds a mask that is narrow all over, and passes one that is wide somewhere', () => {
    const edge = rectangle(0, 0, 60, 60);
    const maskOf = (mask: Outline): Shape => ({ outer: edge, holes: [turnedBack(mask)] });
    const necks = find(maskOf(rectangle(10, 30, 40, 1.3)));
    expect(necks).toHaveLength(1);
    expect(necks[0]).toMatchObject({ region: 'film', allOver: true });
    expect(necks[0].widthMm).toBeCloseTo(1.3, 1);
    expect(find(maskOf(rectangle(10, 30, 40, 1.7)))).toEqual([]);
  });

  it('finds an opening that touches itself at a corner', () => {
    const bow: [number, number][] = [
      [20, 20],
      [30, 30],
      [40, 20],
      [40, 40],
      [30, 30],
      [20, 40],
    ];
    const necks = find(solid(polygon(bow)));
    expect(necks.map(({ widthMm }) => widthMm)).toEqual([0]);
    expect(necks[0].from.x).toBeCloseTo(30, 6);
  });
});

/** A round opening with an island of film in it, held on one side by a strip of a width. */
function withIsland(stripMm: number): Shape {
  const half = stripMm / 2;
  const steps = 60;
  const at = (radius: number, angle: number): [number, number] => [
    30 + radius * Math.cos(angle),
    30 + radius * Math.sin(angle),
  ];
  const arc = (radius: number, from: number, to: number): [number, number][] =>
    Array.from({ length: steps + 1 }, (_, k) => at(radius, from + ((to - from) * k) / steps));
  const [outer, inner] = [Math.asin(half / 14), Math.asin(half / 6)];
  return solid(
    polygon([...arc(14, outer, 2 * Math.PI - outer), ...arc(6, 2 * Math.PI - inner, inner)]),
  );
}
