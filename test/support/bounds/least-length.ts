import { flatten } from '../../../src/geometry/flatten.js';
import { pointToSegment } from '../../../src/geometry/segment.js';
import type { Point, Shape } from '../../../src/geometry/shape.js';
import { spanningTree } from '../../../src/graphs/spanning-tree.js';
import { delaunayEdges } from '../../../src/geometry/triangulation.js';

/**
 * How far the polygons may lie off the curves, and the points along them apart. The gaps found are exact to the
 * polygons; the spacing only says which two loops are neighbours, at a cost in points.
 */
const TOLERANCE_MM = 0.01;
const SPACING_MM = 0.4;

/**
 * The least total length, in mm, of bridges that join all film to one piece: a Euclidean minimum spanning tree of the
 * film regions (Shamos & Hoey 1975). Film on the two sides of an outline is joined by nothing shorter than what
 * crosses that opening, so the tree is made opening by opening.
 */
export function leastLength(openings: readonly Shape[]): number {
  return openings.reduce(
    (sum, { outer, holes }) =>
      holes.length === 0
        ? sum
        : sum + treeLength([outer, ...holes].map((outline) => flatten(outline, TOLERANCE_MM))),
    0,
  );
}

interface RegionGap {
  readonly from: number;
  readonly to: number;
  readonly cost: number;
}

function treeLength(loops: readonly Float64Array[]): number {
  const { points, loopOf } = pointsOn(loops);
  const edges = delaunayEdges(points);
  const gaps = new Map<number, RegionGap>();
  for (let e = 0; e < edges.length; e += 2) {
    const [a, b] = [edges[e], edges[e + 1]];
    if (loopOf[a] === loopOf[b]) continue;
    const from = Math.min(loopOf[a], loopOf[b]);
    const to = Math.max(loopOf[a], loopOf[b]);
    const cost = Math.hypot(points[2 * a] - points[2 * b], points[2 * a + 1] - points[2 * b + 1]);
    const key = from * loops.length + to;
    const known = gaps.get(key);
    if (known && known.cost <= cost - SPACING_MM) continue;
    const exact = exactGap(points, a, b, loopOf);
    if (!known || exact < known.cost) gaps.set(key, { from, to, cost: exact });
  }
  return spanningTree(loops.length, [...gaps.values()]).reduce((sum, gap) => sum + gap.cost, 0);
}

/** Points along the loops, and the loop of each; those of a loop follow each other. */
function pointsOn(loops: readonly Float64Array[]): { points: Float64Array; loopOf: Int32Array } {
  const points: number[] = [];
  const loopOf: number[] = [];
  loops.forEach((loop, number) => {
    for (let i = 0; i < loop.length; i += 2) {
      const j = (i + 2) % loop.length;
      const [dx, dy] = [loop[j] - loop[i], loop[j + 1] - loop[i + 1]];
      const steps = Math.max(1, Math.ceil(Math.hypot(dx, dy) / SPACING_MM));
      for (let k = 0; k < steps; k++) {
        points.push(loop[i] + (dx * k) / steps, loop[i + 1] + (dy * k) / steps);
        loopOf.push(number);
      }
    }
  });
  return { points: Float64Array.from(points), loopOf: Int32Array.from(loopOf) };
}

/** The least distance between the sides that meet at one point and those that meet at another. */
function exactGap(points: Float64Array, a: number, b: number, loopOf: Int32Array): number {
  return Math.min(toSides(points, a, b, loopOf), toSides(points, b, a, loopOf));
}

/** The distance of a point from the nearer of the two sides that meet at another. */
function toSides(points: Float64Array, from: number, to: number, loopOf: Int32Array): number {
  const [point, middle] = [pointAt(points, from), pointAt(points, to)];
  const before = pointAt(points, loopOf[to - 1] === loopOf[to] ? to - 1 : to);
  const after = pointAt(points, loopOf[to + 1] === loopOf[to] ? to + 1 : to);
  return Math.min(pointToSegment(point, middle, before), pointToSegment(point, middle, after));
}

function pointAt(points: Float64Array, i: number): Point {
  return { x: points[2 * i], y: points[2 * i + 1] };
}
