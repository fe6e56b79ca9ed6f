import { cubicOf, curvatureAt } from '../../src/geometry/cubic.js';
import { flatten } from '../../src/geometry/flatten.js';
import type { Outline, Shape } from '../../src/geometry/shape.js';

/** Every outline of some shapes. */
export function outlinesOf(shapes: readonly Shape[]): Outline[] {
  return shapes.flatMap(({ outer, holes }) => [outer, ...holes]);
}

/** The area that an outline encloses, in mm²: positive clockwise on the page (y down). */
export function signedArea(outline: Outline): number {
  const points = flatten(outline);
  let area = 0;
  for (let i = 0; i < points.length; i += 2) {
    const j = (i + 2) % points.length;
    area += (points[i] * points[j + 1] - points[j] * points[i + 1]) / 2;
  }
  return area;
}

/** The tightest bend within any curve of an outline, in 1/mm, at 41 places of each. */
export function tightestWithin(outline: Outline): number {
  let most = 0;
  for (let i = 0; i < outline.straight.length; i++) {
    if (outline.straight[i]) continue;
    for (let k = 0; k <= 40; k++) {
      most = Math.max(most, Math.abs(curvatureAt(cubicOf(outline, i), k / 40)));
    }
  }
  return most;
}

/** The largest curvature of a curve, in 1/mm, without its sign, at `looks` + 1 even parameters. */
export function tightestBend(cubic: ArrayLike<number>, looks: number): number {
  let most = 0;
  for (let k = 0; k <= looks; k++) most = Math.max(most, Math.abs(curvatureAt(cubic, k / looks)));
  return most;
}

/** The angle by which an outline turns where curve i starts, in degrees. */
function turnAt(outline: Outline, i: number): number {
  const n = outline.straight.length;
  const before = cubicOf(outline, (i + n - 1) % n);
  const after = cubicOf(outline, i);
  const [ux, uy] = [before[6] - before[4], before[7] - before[5]];
  const [vx, vy] = [after[2] - after[0], after[3] - after[1]];
  return (Math.abs(Math.atan2(ux * vy - uy * vx, ux * vx + uy * vy)) * 180) / Math.PI;
}

/** The largest turn, in degrees, where two curves meet without a marked corner. */
export function sharpestJoint(outline: Outline): number {
  const joints = [...outline.corner.keys()].filter((i) => outline.corner[i] === 0);
  return joints.reduce((most, i) => Math.max(most, turnAt(outline, i)), 0);
}

/** The furthest that any point of one outline lies from another, in mm, away from some places. */
export function furthest(
  from: Outline,
  to: Outline,
  away: readonly (readonly [number, number])[] = [],
  awayMm = 0,
): number {
  const points = flatten(from, 0.002);
  const line = flatten(to, 0.002);
  let most = 0;
  for (let i = 0; i < points.length; i += 2) {
    const [x, y] = [points[i], points[i + 1]];
    if (away.some(([ax, ay]) => Math.hypot(ax - x, ay - y) < awayMm)) continue;
    most = Math.max(most, distanceTo(line, x, y));
  }
  return most;
}

/** Where an outline turns by more than so many degrees within a length, in mm: its corners, rounded or not. */
export function sharpTurns(
  outline: Outline,
  degrees: number,
  withinMm: number,
): [number, number][] {
  const line = flatten(outline, 0.002);
  const n = line.length / 2;
  const along = new Float64Array(2 * n + 1);
  const heading = new Float64Array(2 * n);
  for (let k = 0; k < 2 * n; k++) {
    const [i, j] = [2 * (k % n), 2 * ((k + 1) % n)];
    const [dx, dy] = [line[j] - line[i], line[j + 1] - line[i + 1]];
    along[k + 1] = along[k] + Math.hypot(dx, dy);
    heading[k] = Math.atan2(dy, dx);
  }
  const sharp: [number, number][] = [];
  for (let k = 0; k < n; k++) {
    for (let l = k + 1; l < 2 * n && along[l] - along[k + 1] <= withinMm; l++) {
      const turn = Math.abs(Math.sin((heading[l] - heading[k]) / 2));
      if (turn > Math.sin((degrees * Math.PI) / 360))
        sharp.push([line[2 * (l % n)], line[2 * (l % n) + 1]]);
    }
  }
  return sharp;
}

function distanceTo(line: Float64Array, x: number, y: number): number {
  let least = Infinity;
  for (let i = 0; i < line.length; i += 2) {
    const j = (i + 2) % line.length;
    const [dx, dy] = [line[j] - line[i], line[j + 1] - line[i + 1]];
    const along = ((x - line[i]) * dx + (y - line[i + 1]) * dy) / (dx * dx + dy * dy || 1);
    const t = Math.min(1, Math.max(0, along));
    const [offX, offY] = [line[i] + t * dx - x, line[i + 1] + t * dy - y];
    least = Math.min(least, offX * offX + offY * offY);
  }
  return Math.sqrt(least);
}

/** How often the outlines cross themselves or one another. */
export function crossings(outlines: readonly Outline[]): number {
  const lines = outlines.map((outline) => flatten(outline, 0.005));
  const segments = lines.flatMap((line, owner) =>
    Array.from({ length: line.length / 2 }, (_, k) => {
      const j = (2 * k + 2) % line.length;
      return {
        owner,
        k,
        of: line.length / 2,
        a: [line[2 * k], line[2 * k + 1]],
        b: [line[j], line[j + 1]],
      };
    }),
  );
  const left = (s: (typeof segments)[number]): number => Math.min(s.a[0], s.b[0]);
  segments.sort((p, q) => left(p) - left(q));
  let count = 0;
  segments.forEach((p, i) => {
    const right = Math.max(p.a[0], p.b[0]);
    for (let j = i + 1; j < segments.length && left(segments[j]) <= right; j++) {
      const q = segments[j];
      const apart = Math.abs(p.k - q.k);
      const joined = p.owner === q.owner && (apart <= 1 || apart === p.of - 1);
      if (!joined && crosses(p.a, p.b, q.a, q.b)) count++;
    }
  });
  return count;
}

function crosses(
  a: readonly number[],
  b: readonly number[],
  c: readonly number[],
  d: readonly number[],
): boolean {
  const side = (p: readonly number[], q: readonly number[], r: readonly number[]): number =>
    (q[0] - p[0]) * (r[1] - p[1]) - (q[1] - p[1]) * (r[0] - p[0]);
  return side(a, b, c) * side(a, b, d) < 0 && side(c, d, a) * side(c, d, b) < 0;
}
