import { describe, expect, it } from 'vitest';
import { delaunay, delaunayEdges } from '../../src/geometry/triangulation.js';

const pairs = (points: number[]): string[] => {
  const edges = delaunayEdges(Float64Array.from(points));
  return Array.from({ length: edges.length / 2 }, (_, e) =>
    [edges[2 * e], edges[2 * e + 1]].sort((a, b) => a - b).join('-'),
  ).sort();
};

describe('delaunayEdges', () => {
  it('gives each edge once', () => {
    expect(pairs([0, 0, 4, 0, 0, 4, 1, 1])).toEqual(['0-1', '0-2', '0-3', '1-2', '1-3', '2-3']);
  });

  it('links points on one line in their order', () => {
    expect(pairs([5, 5, 0, 0, 9, 9, 2, 2])).toEqual(['0-2', '0-3', '1-3']);
  });

  it('has no edge for fewer than two points', () => {
    expect(pairs([])).toEqual([]);
    expect(pairs([1, 1])).toEqual([]);
    expect(pairs([1, 1, 2, 2])).toEqual(['0-1']);
  });
});

describe('delaunay', () => {
  /** Along a sheet's edge, level and upright, and round a circle in it. */
  function sheet(): Float64Array {
    const edge = Array.from({ length: 40 }, (_, k) => [k, 0, 40, k, 40 - k, 40, 0, 40 - k]).flat();
    const circle = Array.from({ length: 60 }, (_, k) => {
      const angle = (2 * Math.PI * k) / 60;
      return [20 + 11 * Math.cos(angle), 20 + 11 * Math.sin(angle)];
    }).flat();
    return Float64Array.from([...edge, ...circle]);
  }

  it('has no point within the circle through the corners of a triangle', () => {
    const points = sheet();
    const { triangles } = delaunay(points);
    const at = (i: number) => [points[2 * i], points[2 * i + 1]] as const;
    let [area, nearest] = [0, 0];
    for (let t = 0; t < triangles.length; t += 3) {
      const [a, b, c] = [at(triangles[t]), at(triangles[t + 1]), at(triangles[t + 2])];
      const [bx, by, cx, cy] = [b[0] - a[0], b[1] - a[1], c[0] - a[0], c[1] - a[1]];
      const twice = bx * cy - by * cx;
      area += Math.abs(twice) / 2;
      // In line but for rounding: a sliver along the sheet's edge, with no area.
      if (Math.abs(twice) < 1e-9) continue;
      const x = (cy * (bx ** 2 + by ** 2) - by * (cx ** 2 + cy ** 2)) / (2 * twice);
      const y = (bx * (cx ** 2 + cy ** 2) - cx * (bx ** 2 + by ** 2)) / (2 * twice);
      for (let i = 0; i < points.length / 2; i++) {
        const [px, py] = at(i);
        nearest = Math.min(nearest, Math.hypot(px - a[0] - x, py - a[1] - y) - Math.hypot(x, y));
      }
    }
    expect(nearest).toBeGreaterThan(-1e-9);
    expect(area).toBeCloseTo(1600, 6);
  });
});
