import fc from 'fast-check';
import { expect, it } from 'vitest';
import { segmentIndex } from '../../src/geometry/segment-index.js';

it('finds the nearest place on any side, the same as looking at all of them', () => {
  const coordinate = fc.double({ min: 0, max: 30, noNaN: true });
  const polygon = fc
    .array(fc.tuple(coordinate, coordinate), { minLength: 3, maxLength: 12 })
    .map((points) => Float64Array.from(points.flat()));
  const polygons = fc.array(polygon, { minLength: 1, maxLength: 5 });
  fc.assert(
    fc.property(polygons, coordinate, coordinate, (loops, x, y) => {
      let least = Infinity;
      for (const loop of loops) {
        for (let i = 0; i < loop.length; i += 2) {
          const j = (i + 2) % loop.length;
          for (let k = 0; k <= 400; k++) {
            const px = loop[i] + ((loop[j] - loop[i]) * k) / 400;
            const py = loop[i + 1] + ((loop[j + 1] - loop[i + 1]) * k) / 400;
            least = Math.min(least, Math.hypot(px - x, py - y));
          }
        }
      }
      const found = segmentIndex(loops).nearest({ x, y }, { x, y }, 50);
      expect(found).toBeDefined();
      if (!found) return;
      expect(found.distance).toBeLessThanOrEqual(least + 1e-9);
      expect(found.distance).toBeGreaterThan(least - 0.1);
      expect(Math.hypot(found.x - x, found.y - y)).toBeCloseTo(found.distance, 9);
      const loop = loops[found.polygon];
      const i = 2 * Math.floor(found.at);
      const j = (i + 2) % loop.length;
      const share = found.at - Math.floor(found.at);
      expect(loop[i] + share * (loop[j] - loop[i])).toBeCloseTo(found.x, 6);
    }),
  );
});

it('finds nothing out of reach', () => {
  const square = Float64Array.of(10, 10, 20, 10, 20, 20, 10, 20);
  const index = segmentIndex([square]);
  expect(index.nearest({ x: 15, y: 15 }, { x: 15, y: 15 }, 4)).toBeUndefined();
  expect(index.nearest({ x: 15, y: 15 }, { x: 15, y: 11 }, 4)?.y).toBe(10);
  expect(segmentIndex([]).nearest({ x: 1, y: 1 }, { x: 1, y: 1 }, 9)).toBeUndefined();
});
