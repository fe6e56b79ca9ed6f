import { createRequire } from 'node:module';
import type { DxfParser as Parser, IPolylineEntity } from 'dxf-parser';
import { describe, expect, it } from 'vitest';
import { stencilDxf } from '../../src/output/dxf/dxf.js';
import { stencilSvg } from '../../src/output/svg/svg.js';
import type { Shape } from '../../src/geometry/shape.js';
import { sprig } from '../output/outlines.js';
import { loopsOf } from '../support/path-data.js';
import { circle, ring } from '../support/openings.js';

/*
 * stencil.dxf read back by an independent parser (dxf-parser). Release 12 is AC1009, and $INSUNITS 4 is the
 * millimetre: Autodesk's published DXF Reference. Lengths and areas are held against those of stencil.svg.
 */

/** The package gives the class itself; its types tell of a module. */
const DxfParser = createRequire(import.meta.url)('dxf-parser') as typeof Parser;

const sheet = { widthMm: 101.6, heightMm: 152.4 };

function read(openings: readonly Shape[]) {
  const parsed = new DxfParser().parseSync(stencilDxf(openings, sheet));
  if (!parsed) throw new Error('The parser read nothing');
  const loops = parsed.entities.map((entity) => {
    expect(entity.type).toBe('POLYLINE');
    const { layer, shape, vertices } = entity as IPolylineEntity;
    return { layer, closed: shape, points: vertices.map(({ x, y }) => [x, y] as const) };
  });
  return { parsed, loops };
}

type Points = readonly (readonly [number, number])[];

const sideSum = (points: Points, of: (a: Points[number], b: Points[number]) => number): number =>
  points.reduce((sum, point, i) => sum + of(point, points[(i + 1) % points.length]), 0);
const areaOf = (points: Points): number =>
  Math.abs(sideSum(points, ([ax, ay], [bx, by]) => ax * by - bx * ay)) / 2;
const lengthOf = (points: Points): number =>
  sideSum(points, ([ax, ay], [bx, by]) => Math.hypot(bx - ax, by - ay));

describe('stencil.dxf in an independent parser', () => {
  const { parsed, loops } = read(sprig);
  const cut = loops.filter(({ layer }) => layer === 'OPENINGS');

  it('is Release 12, in millimetres', () => {
    expect(parsed.header.$ACADVER).toBe('AC1009');
    expect(parsed.header.$INSUNITS).toBe(4);
    expect(Object.keys(parsed.tables.layer.layers).sort()).toEqual(['0', 'OPENINGS', 'SHEET']);
  });

  it('has the sheet’s edge and one closed loop for each outline', () => {
    const edges = loops.filter(({ layer }) => layer === 'SHEET');
    expect(edges).toHaveLength(1);
    expect(areaOf(edges[0].points)).toBeCloseTo(101.6 * 152.4, 6);
    expect(cut).toHaveLength(sprig.reduce((sum, { holes }) => sum + 1 + holes.length, 0));
    for (const { closed, points } of loops) {
      expect(closed).toBe(true);
      expect(points.length).toBeGreaterThanOrEqual(3);
      expect(points.at(-1)).not.toEqual(points[0]);
    }
  });

  it('has the length and the area of stencil.svg', () => {
    const svg = loopsOf(stencilSvg(sprig, sheet));
    expect(cut).toHaveLength(svg.length);
    cut.forEach(({ points }, i) => {
      expect(lengthOf(points) / lengthOf(svg[i])).toBeCloseTo(1, 3);
      // Chords 0.01 mm off all along would take away this much at the most.
      expect(Math.abs(areaOf(points) - areaOf(svg[i]))).toBeLessThan(0.01 * lengthOf(svg[i]));
    });
  });

  it('has chords within 0.05 mm of the curve', () => {
    const [, loop] = read([{ outer: circle(50, 50, 30), holes: [] }]).loops;
    loop.points.forEach(([x, y], i) => {
      const [nx, ny] = loop.points[(i + 1) % loop.points.length];
      expect(Math.hypot(x - 50, y - (152.4 - 50))).toBeCloseTo(30, 1);
      const off = 30 - Math.hypot((x + nx) / 2 - 50, (y + ny) / 2 - (152.4 - 50));
      expect(Math.abs(off)).toBeLessThan(0.05);
    });
  });

  it('has y up: what is near the sheet’s top has a large y', () => {
    const [, loop] = read([{ outer: circle(50, 20, 10), holes: [] }]).loops;
    expect(loop.points.every(([, y]) => y > 120)).toBe(true);
  });

  it('keeps an island’s outline as a loop of its own', () => {
    expect(read([ring(50, 50, 20, 10)]).loops).toHaveLength(3);
    expect(read([]).loops).toHaveLength(1);
  });
});
