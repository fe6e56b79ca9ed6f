import { describe, expect, it } from 'vitest';
import { flatten } from '../../src/geometry/flatten.js';
import { rasterise } from '../../src/geometry/rasterise.js';
import type { Outline } from '../../src/geometry/shape.js';
import type { Bitmap } from '../../src/raster/raster.js';
import { trace } from '../../src/stages/trace/trace.js';
import { drawn, painted } from '../support/bitmaps.js';
import { randomKinds, randomPicture } from '../support/random-pictures.js';
import { curvesOfTracer } from '../support/tracer.js';

const PIXELS_PER_MM = 10;

/** Signed area, mm²: positive clockwise on the page. */
function areaOf(outline: Outline): number {
  const points = flatten(outline);
  let area = 0;
  for (let i = 0; i < points.length; i += 2) {
    const j = (i + 2) % points.length;
    area += (points[i] * points[j + 1] - points[j] * points[i + 1]) / 2;
  }
  return area;
}

describe('trace', () => {
  it('has no shape for a sheet of film', () => {
    const bitmap = drawn('....', '....');
    expect(trace(bitmap, PIXELS_PER_MM)).toEqual({ shapes: [], bitmap, curves: 0 });
  });

  it('traces a square to four marked corners at its exact place', () => {
    const square = painted(100, 100, (x, y) => x > 20 && x < 60 && y > 30 && y < 70);
    const { shapes, curves } = trace(square, PIXELS_PER_MM);
    expect(curves).toBe(4);
    const [{ outer, holes }] = shapes;
    expect(holes).toEqual([]);
    const corners = [...outer.corner.keys()].filter((i) => outer.corner[i]);
    const places = corners.map((i) => [outer.coords[6 * i], outer.coords[6 * i + 1]]);
    expect(places.map(String).sort()).toEqual(['2,3', '2,7', '6,3', '6,7']);
    expect(outer.straight.every((flag) => flag === 1)).toBe(true);
  });

  it('runs outer outlines clockwise and holes the other way, and gives holes to their openings', () => {
    const rings = painted(200, 200, (x, y) => {
      const r = Math.hypot(x - 100, y - 100);
      return r < 20 || (r > 40 && r < 80);
    });
    const { shapes } = trace(rings, PIXELS_PER_MM);
    expect(shapes.map(({ holes }) => holes.length)).toEqual([1, 0]);
    expect(areaOf(shapes[0].outer) / (Math.PI * 64)).toBeCloseTo(1, 1);
    expect(areaOf(shapes[0].holes[0]) / (Math.PI * 16)).toBeCloseTo(-1, 1);
    expect(areaOf(shapes[1].outer) / (Math.PI * 4)).toBeCloseTo(1, 1);
  });

  it('joins openings that touch by a corner and parts film that does', () => {
    const chequers = painted(120, 120, (x, y) => {
      const inside = x > 20 && x < 100 && y > 20 && y < 100;
      return inside && x < 60 === y < 60;
    });
    const { shapes } = trace(chequers, PIXELS_PER_MM);
    expect(shapes).toHaveLength(1);
    const framed = painted(120, 120, (x, y) => {
      const inside = x > 20 && x < 100 && y > 20 && y < 100;
      return !inside || x < 60 !== y < 60;
    });
    const turned = trace(framed, PIXELS_PER_MM);
    expect(turned.shapes.map(({ holes }) => holes.length)).toEqual([2]);
  });

  it('stays within a pixel of what it traced', () => {
    for (const kind of randomKinds) {
      const bitmap = randomPicture(kind, 7, 200, 10);
      const { shapes } = trace(bitmap, PIXELS_PER_MM);
      const back = rasterise(shapes, bitmap.width, bitmap.height, PIXELS_PER_MM);
      expect(farFromBorder(bitmap, back)).toBe(0);
    }
  });

  it('returns what the tracer makes of the bitmap at its own defaults', async () => {
    const bitmap = randomPicture('noise', 3, 200, 10);
    const { curves } = trace(bitmap, PIXELS_PER_MM);
    expect(curves).toBe(await curvesOfTracer(bitmap));
  });
});

/** Pixels that differ although all eight about them were alike: more than a pixel off. */
function farFromBorder(bitmap: Bitmap, back: Bitmap): number {
  const { width, height, data } = bitmap;
  let far = 0;
  for (let y = 1; y < height - 1; y++) {
    for (let x = 1; x < width - 1; x++) {
      const i = y * width + x;
      const rows = [i - width, i, i + width];
      const alike = rows.every((j) => [j - 1, j, j + 1].every((k) => data[k] === data[i]));
      if (back.data[i] !== data[i] && alike) far++;
    }
  }
  return far;
}
