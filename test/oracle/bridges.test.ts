// Bridges against what geometry says they must be: Shamos & Hoey, "Closest-point problems", FOCS 1975, and the
// distances between circles of any school book.
import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { flatten } from '../../src/geometry/flatten.js';
import type { Outline, Shape } from '../../src/geometry/shape.js';
import { delaunayEdges } from '../../src/geometry/triangulation.js';
import { spanningTree } from '../../src/graphs/spanning-tree.js';
import { completeJob } from '../../src/settings/job.js';
import { bridge, type Bridge } from '../../src/stages/bridge/bridge.js';
import { bridgeHeuristics, keepingAll } from '../../src/stages/bridge/heuristics.js';
import { circle, rectangle, ring } from '../support/openings.js';

const sheet = { widthMm: 101.6, heightMm: 101.6 };
/** One tie an island, as the textbooks have it. */
const job = completeJob({ bridgeAmount: 'fewer', spareFeatures: false });
const lay = (shapes: readonly Shape[], heuristics = bridgeHeuristics) =>
  bridge({ shapes }, { sheet, pixelsPerMm: 10 }, job, heuristics);
const lengthOf = ({ from, to }: Bridge): number => Math.hypot(to.x - from.x, to.y - from.y);
const total = (bridges: readonly Bridge[]): number =>
  bridges.reduce((sum, one) => sum + lengthOf(one), 0);

describe('the shortest bridge of a ring', () => {
  it.each([
    [10, 18],
    [5, 20],
    [3, 6],
    [15, 16.6],
  ])('of radii %f and %f is their difference', (inner, outer) => {
    const { bridges, islands } = lay([ring(50, 50, outer, inner)]);
    expect(islands).toBe(1);
    expect(bridges).toHaveLength(1);
    expect(lengthOf(bridges[0])).toBeCloseTo(outer - inner, 1);
  });

  it('is the gap on the near side when the hole is off centre', () => {
    fc.assert(
      fc.property(
        fc.double({ min: 0, max: 2 * Math.PI, noNaN: true }),
        fc.double({ min: 1, max: 5, noNaN: true }),
        (angle, off) => {
          const shape = ring(50, 50, 20, 8, off * Math.cos(angle), off * Math.sin(angle));
          const { bridges } = lay([shape]);
          expect(bridges).toHaveLength(1);
          expect(Math.abs(lengthOf(bridges[0]) - (20 - 8 - off))).toBeLessThan(0.06);
        },
      ),
      { numRuns: 15 },
    );
  });

  it('is laid in each of nested rings', () => {
    const { bridges, islands } = lay([
      ring(50, 50, 35, 30),
      ring(50, 50, 24, 18),
      ring(50, 50, 10, 5),
    ]);
    expect(islands).toBe(3);
    expect(bridges).toHaveLength(3);
    expect(total(bridges)).toBeCloseTo(5 + 6 + 5, 1);
  });
});

/** The least total gap that joins the regions bounded by outlines, by trying all pairs of points (Prim 1957). */
function bruteForce(outlines: readonly Outline[]): number {
  const loops = outlines.map((outline) => dense(flatten(outline, 0.001)));
  const gap = (a: Float64Array, b: Float64Array): number => {
    let least = Infinity;
    for (let i = 0; i < a.length; i += 2) {
      for (let j = 0; j < b.length; j += 2) {
        least = Math.min(least, (a[i] - b[j]) ** 2 + (a[i + 1] - b[j + 1]) ** 2);
      }
    }
    return Math.sqrt(least);
  };
  const best = loops.map((loop) => gap(loops[0], loop));
  const outside = new Set(loops.keys());
  outside.delete(0);
  let sum = 0;
  while (outside.size > 0) {
    const nearest = [...outside].reduce((a, b) => (best[a] <= best[b] ? a : b));
    sum += best[nearest];
    outside.delete(nearest);
    for (const other of outside)
      best[other] = Math.min(best[other], gap(loops[nearest], loops[other]));
  }
  return sum;
}

/** The points of a loop and more between them, at most 0.1 mm apart. */
function dense(loop: Float64Array): Float64Array {
  const points: number[] = [];
  for (let i = 0; i < loop.length; i += 2) {
    const j = (i + 2) % loop.length;
    const steps = Math.ceil(Math.hypot(loop[j] - loop[i], loop[j + 1] - loop[i + 1]) / 0.1);
    for (let k = 0; k < steps; k++) {
      points.push(loop[i] + ((loop[j] - loop[i]) * k) / steps);
      points.push(loop[i + 1] + ((loop[j + 1] - loop[i + 1]) * k) / steps);
    }
  }
  return Float64Array.from(points);
}

describe('the total length', () => {
  it('is a Euclidean minimum spanning tree of the film regions', () => {
    const spots = fc.array(
      fc.record({
        x: fc.double({ min: 22, max: 80, noNaN: true }),
        y: fc.double({ min: 22, max: 80, noNaN: true }),
        radius: fc.double({ min: 2, max: 6, noNaN: true }),
      }),
      { minLength: 2, maxLength: 7 },
    );
    fc.assert(
      fc.property(spots, (all) => {
        // Islands far enough apart that a bridge's width does not bear on the choice.
        const apart = all.filter((one, i) =>
          all
            .slice(0, i)
            .every(
              (other) =>
                Math.hypot(one.x - other.x, one.y - other.y) > one.radius + other.radius + 5,
            ),
        );
        const holes = apart.map(({ x, y, radius }) => circle(x, y, radius));
        const outer = rectangle(10, 10, 81.6, 81.6);
        // All are held, those far from the others, too.
        const { bridges, islands } = lay([{ outer, holes }], keepingAll);
        expect(islands).toBe(holes.length);
        expect(bridges).toHaveLength(holes.length);
        const least = bruteForce([outer, ...holes]);
        expect(total(bridges)).toBeGreaterThan(least - 0.05 * holes.length);
        // Ties are chosen by the opening that they cover, so two nearly equal gaps may be taken one for the other.
        expect(total(bridges)).toBeLessThan(least + 0.3 * holes.length);
      }),
      { numRuns: 20 },
    );
  });
});

describe('the Delaunay triangulation', () => {
  it('holds a minimum spanning tree of its points', () => {
    const points = fc.array(
      fc.tuple(fc.integer({ min: 0, max: 60 }), fc.integer({ min: 0, max: 60 })),
      { minLength: 2, maxLength: 60 },
    );
    fc.assert(
      fc.property(points, (drawn) => {
        const distinct = [...new Map(drawn.map((point) => [point.join(), point])).values()];
        const length = (a: number, b: number): number =>
          Math.hypot(distinct[a][0] - distinct[b][0], distinct[a][1] - distinct[b][1]);
        const pairs = distinct.flatMap((_, a) =>
          distinct.slice(0, a).map((__, b) => ({ from: a, to: b, cost: length(a, b) })),
        );
        const edges = delaunayEdges(Float64Array.from(distinct.flat()));
        const sides = Array.from({ length: edges.length / 2 }, (_, e) => ({
          from: edges[2 * e],
          to: edges[2 * e + 1],
          cost: length(edges[2 * e], edges[2 * e + 1]),
        }));
        const sum = (tree: readonly { cost: number }[]): number =>
          tree.reduce((all, { cost }) => all + cost, 0);
        const least = spanningTree(distinct.length, pairs);
        expect(least).toHaveLength(distinct.length - 1);
        const found = spanningTree(distinct.length, sides);
        expect(found).toHaveLength(distinct.length - 1);
        expect(sum(found)).toBeCloseTo(sum(least), 9);
      }),
      { numRuns: 200 },
    );
  });
});
