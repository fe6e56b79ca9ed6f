// Areas of polygon booleans against another library's: jsts, a port of the JTS Topology Suite.
import fc from 'fast-check';
import GeometryFactory from 'jsts/org/locationtech/jts/geom/GeometryFactory.js';
import WKTReader from 'jsts/org/locationtech/jts/io/WKTReader.js';
import SnapIfNeededOverlayOp from 'jsts/org/locationtech/jts/operation/overlay/snap/SnapIfNeededOverlayOp.js';
import { expect, it } from 'vitest';
import { difference, type Region, union } from '../../src/geometry/boolean-operations.js';
import { signedArea } from '../../src/geometry/signed-area.js';

/** What is used of the other library, whose own types don't say so much. */
interface Geometry {
  getArea(): number;
}
const reader = new WKTReader(new GeometryFactory()) as { read(text: string): Geometry };
const jsts = SnapIfNeededOverlayOp as {
  union(a: Geometry, b: Geometry): Geometry;
  difference(a: Geometry, b: Geometry): Geometry;
};

function toText(loop: Float64Array): string {
  const pairs: string[] = [];
  for (let i = 0; i <= loop.length; i += 2) {
    pairs.push(`${loop[i % loop.length]} ${loop[(i + 1) % loop.length]}`);
  }
  return `(${pairs.join(', ')})`;
}

const toGeometry = (...loops: Float64Array[]): Geometry =>
  reader.read(`POLYGON (${loops.map(toText).join(', ')})`);

const areaOf = (regions: readonly Region[]): number =>
  regions.reduce(
    (sum, { outer, holes }) =>
      sum +
      Math.abs(signedArea(outer)) -
      holes.reduce((inner, hole) => inner + Math.abs(signedArea(hole)), 0),
    0,
  );

/** A star-shaped loop on the library's grid, so that both libraries are given the same numbers. */
const loops = fc
  .record({
    x: fc.integer({ min: 20, max: 80 }),
    y: fc.integer({ min: 20, max: 80 }),
    radii: fc.array(fc.integer({ min: 2, max: 20 }), { minLength: 3, maxLength: 40 }),
  })
  .map(({ x, y, radii }) =>
    Float64Array.from(
      radii.flatMap((radius, i) => {
        const angle = (2 * Math.PI * i) / radii.length;
        return [x + radius * Math.cos(angle), y + radius * Math.sin(angle)];
      }),
      (value) => Math.round(value * 10_000) / 10_000,
    ),
  );

/** Each crossing may move by half a grid step, along loops of less than a metre. */
const TOLERANCE_MM2 = 0.02;

it('takes the same area off as the other library', () => {
  fc.assert(
    fc.property(loops, fc.array(loops, { minLength: 1, maxLength: 6 }), (subject, clips) => {
      const clip = clips.map((loop) => toGeometry(loop)).reduce((a, b) => jsts.union(a, b));
      const expected = jsts.difference(toGeometry(subject), clip).getArea();
      const laid = union(clips).flatMap(({ outer, holes }) => [outer, ...holes]);
      expect(areaOf(union(clips))).toBeCloseTo(clip.getArea(), 1);
      expect(Math.abs(areaOf(difference([subject], laid)) - expected)).toBeLessThan(TOLERANCE_MM2);
    }),
    { numRuns: 300 },
  );
});

it('keeps holes, and gives each to the region that it lies in', () => {
  fc.assert(
    fc.property(fc.array(loops, { minLength: 1, maxLength: 6 }), (clips) => {
      // No loop touches its edge: where a hole does, the other library finds no noding.
      const sheet = Float64Array.of(-9, -9, 109, -9, 109, 109, -9, 109);
      const clip = clips.map((loop) => toGeometry(loop)).reduce((a, b) => jsts.union(a, b));
      const expected = jsts.difference(toGeometry(sheet), clip);
      const laid = union(clips).flatMap(({ outer, holes }) => [outer, ...holes]);
      const regions = difference([sheet], laid);
      expect(Math.abs(areaOf(regions) - expected.getArea())).toBeLessThan(TOLERANCE_MM2);
      for (const { outer, holes } of regions) {
        const region = toGeometry(outer, ...holes);
        const ownArea = areaOf([{ outer, holes }]);
        // A hole that lay outside its region would leave the other library's area larger.
        expect(Math.abs(region.getArea() - ownArea)).toBeLessThan(TOLERANCE_MM2);
        for (const hole of holes) {
          const missing = jsts.difference(toGeometry(hole), toGeometry(outer)).getArea();
          expect(missing).toBeLessThan(TOLERANCE_MM2);
        }
      }
    }),
    { numRuns: 200 },
  );
});
