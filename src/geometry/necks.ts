import { distance } from './points.js';
import type { Sheet } from '../settings/card.js';
import { memoizeLast } from '../common/memoize-last.js';
import { flatten } from './flatten.js';
import { isSheetEdge } from './outline.js';
import { gridKey } from './boolean-operations.js';
import type { Point, Shape } from './shape.js';
import { delaunay } from './triangulation.js';

/** A place at which film or an opening is narrower than its limit. */
export interface Neck {
  readonly region: 'film' | 'opening';
  /** An opening, or a mask, that is nowhere as wide as its limit: its widest place. Else two parts hang together here. */
  readonly allOver: boolean;
  /** The shortest distance across, in mm, to 0.01 mm. */
  readonly widthMm: number;
  /** The places on the outlines at either side of it, in mm. */
  readonly from: Point;
  readonly to: Point;
}

/** The least widths that are wanted, in mm. */
export interface WidthLimits {
  readonly film: number;
  readonly opening: number;
  /**
   * A part that is short of its limit by no more, in mm, still hangs by a neck that is narrower than it is: half a strip
   * taken off either side leaves it a core. Unless set: only one that is as wide as its limit does.
   */
  readonly partShort?: number;
  /** Of such a part a neck is narrow when it is short of the limit by more, in mm. Unless set: by more than the part may be. */
  readonly neckShort?: number;
}

/**
 * Samples along the outlines lie so near each other, as a share of the smaller limit, and in mm at the least and the
 * most: nearer takes longer, further apart makes necks seem wider than they are.
 */
const STEP_SHARE = 0.22;
const LEAST_STEP_MM = 0.08;
const MOST_STEP_MM = 0.4;
/** How far a sampled outline may lie off its curve, in mm. */
const TOLERANCE_MM = 0.003;
/**
 * A width may be short of its limit by so much, in mm, and is kept all the same: it is not felt, and more than the measuring
 * is off by. So a part that is short by no more counts as one of two that a neck lies between, too.
 */
export const WIDTH_TOLERANCE_MM = 0.04;

/** What a triangle's middle lies in: film, or an opening. */
const FILM = 0;
const OPENING = 1;
type NeckKind = typeof FILM | typeof OPENING;

/**
 * Finds where film and openings are narrower than their limits, on the outlines themselves: the necks between two parts
 * that each hold a disk of the limit's diameter (or one that is short of it by `partShort`, if the neck is still
 * narrower), and the openings that hold none. Where an outline tapers to a corner
 * there is no neck. The edge of the sheet is an outline of the film.
 *
 * The Voronoi diagram of samples along the outlines follows the medial axis (Brandt & Algazi, "Continuous skeleton
 * computation by Voronoi diagram", CVGIP: Image Understanding 55 (1992)). Its vertices, the middles of the Delaunay
 * triangles' circumcircles, are joined from the widest way to the narrowest, so that two parts meet at the widest neck
 * between them, and a ring round an opening closes at its narrowest place; the width there is then measured between the
 * outlines.
 */
export const findNecks = memoizeLast(measure);

function measure(shapes: readonly Shape[], sheet: Sheet, limits: WidthLimits): readonly Neck[] {
  if (shapes.length === 0) return [];
  const step = Math.min(limits.film, limits.opening) * STEP_SHARE;
  const samples = sample(shapes, sheet, Math.min(MOST_STEP_MM, Math.max(LEAST_STEP_MM, step)));
  const mesh: Mesh = { samples, ...triangulated(samples) };
  const { partShort = 0, neckShort = partShort } = limits;
  const short = { part: partShort, neck: neckShort };
  return [
    ...necksIn(FILM, limits.film, short, mesh),
    ...necksIn(OPENING, limits.opening, short, mesh),
    ...narrowAllOver(shapes.length, limits.opening, mesh),
    ...(shapes.some(({ outer }) => isSheetEdge(outer, sheet))
      ? maskNarrowAllOver(limits.film, mesh)
      : []),
  ];
}

/** Samples of all outlines, each in a ring of its own. */
interface Samples {
  readonly stepMm: number;
  /** x, y pairs in mm. */
  readonly points: Float64Array;
  /** By sample: the samples before and after it on its outline. */
  readonly before: Int32Array;
  readonly after: Int32Array;
  /** By sample: the number of its shape; -1 on the edge of the sheet. */
  readonly shapes: Int32Array;
}

function sample(shapes: readonly Shape[], sheet: Sheet, stepMm: number): Samples {
  const rings: { readonly polygon: Float64Array; readonly shape: number }[] = [];
  shapes.forEach(({ outer, holes }, shape) => {
    for (const outline of [outer, ...holes]) {
      rings.push({ polygon: evened(flatten(outline, TOLERANCE_MM), stepMm), shape });
    }
  });
  // All round a mask is cut away up to the edge, which is then the outline of an opening.
  if (!shapes.some(({ outer }) => isSheetEdge(outer, sheet))) {
    const { widthMm, heightMm } = sheet;
    const edge = Float64Array.of(0, 0, widthMm, 0, widthMm, heightMm, 0, heightMm);
    rings.push({ polygon: evened(edge, stepMm), shape: -1 });
  }
  const count = rings.reduce((sum, { polygon }) => sum + polygon.length / 2, 0);
  const points = new Float64Array(2 * count);
  const before = new Int32Array(count);
  const after = new Int32Array(count);
  const numbers = new Int32Array(count);
  let first = 0;
  for (const { polygon, shape } of rings) {
    const n = polygon.length / 2;
    points.set(polygon, 2 * first);
    for (let k = 0; k < n; k++) {
      before[first + k] = first + ((k + n - 1) % n);
      after[first + k] = first + ((k + 1) % n);
      numbers[first + k] = shape;
    }
    first += n;
  }
  return { stepMm, points, before, after, shapes: numbers };
}

/** Rounding: places nearer than this are one, widths that differ by less are the same. */
const SAME_MM = 1e-6;

/** A polygon with points added on its longer sides, so that none is longer than a step; points that coincide once. */
function evened(polygon: Float64Array, stepMm: number): Float64Array {
  const points: number[] = [];
  const n = polygon.length;
  for (let i = 0; i < n; i += 2) {
    const j = (i + 2) % n;
    const [x, y] = [polygon[i], polygon[i + 1]];
    const [dx, dy] = [polygon[j] - x, polygon[j + 1] - y];
    const length = Math.sqrt(dx * dx + dy * dy);
    if (length < SAME_MM) continue;
    const steps = Math.ceil(length / stepMm);
    for (let k = 0; k < steps; k++) points.push(x + (dx * k) / steps, y + (dy * k) / steps);
  }
  return Float64Array.from(points);
}

/** The Delaunay triangles of the samples; for each the circle through its corners. */
interface Mesh {
  readonly samples: Samples;
  readonly triangles: Uint32Array;
  readonly halfedges: Int32Array;
  /** By triangle, in mm: the middle of the circle and its radius; 0 where its corners lie on one line. */
  readonly x: Float64Array;
  readonly y: Float64Array;
  readonly radius: Float64Array;
  /** By triangle: whether the middle lies in film or in an opening. */
  readonly kind: Uint8Array;
}

/** A circle through three places that are nearly in line: a radius of 100 m is no width of anything on a sheet. */
const FLAT_MM = 1e5;

function triangulated(samples: Samples): Omit<Mesh, 'samples'> {
  const { points } = samples;
  const { triangles, halfedges } = delaunay(points);
  const count = triangles.length / 3;
  const x = new Float64Array(count);
  const y = new Float64Array(count);
  const radius = new Float64Array(count);
  const kind = new Uint8Array(count);
  for (let t = 0; t < count; t++) {
    const [a, b, c] = [triangles[3 * t], triangles[3 * t + 1], triangles[3 * t + 2]];
    const [ax, ay] = [points[2 * a], points[2 * a + 1]];
    const [bx, by] = [points[2 * b] - ax, points[2 * b + 1] - ay];
    const [cx, cy] = [points[2 * c] - ax, points[2 * c + 1] - ay];
    const twice = 2 * (bx * cy - by * cx);
    const [bb, cc] = [bx * bx + by * by, cx * cx + cy * cy];
    const dx = (cy * bb - by * cc) / twice;
    const dy = (bx * cc - cx * bb) / twice;
    const r = Math.sqrt(dx * dx + dy * dy);
    if (!(r < FLAT_MM)) continue;
    x[t] = ax + dx;
    y[t] = ay + dy;
    radius[t] = r;
    const film =
      filmSeen(samples, a, x[t], y[t]) +
      filmSeen(samples, b, x[t], y[t]) +
      filmSeen(samples, c, x[t], y[t]);
    kind[t] = film >= 0 ? FILM : OPENING;
  }
  return { triangles, halfedges, x, y, radius, kind };
}

/**
 * How surely film is seen from a sample towards a place: 1 where that lies straight across from it, -1 for an opening;
 * 0 from the edge of the sheet. Film lies to the left of an outline's way. A tiny loop at a corner misleads one sample.
 */
function filmSeen(samples: Samples, i: number, x: number, y: number): number {
  const { points, before, after, shapes } = samples;
  if (shapes[i] < 0) return 0;
  const [px, py] = [points[2 * i], points[2 * i + 1]];
  const [ax, ay] = [px - points[2 * before[i]], py - points[2 * before[i] + 1]];
  const [bx, by] = [points[2 * after[i]] - px, points[2 * after[i] + 1] - py];
  const [dx, dy] = [x - px, y - py];
  const away = Math.sqrt(dx * dx + dy * dy);
  const first = (ay * dx - ax * dy) / (Math.sqrt(ax * ax + ay * ay) * away);
  const second = (by * dx - bx * dy) / (Math.sqrt(bx * bx + by * by) * away);
  const isFilmWithin = ax * by - ay * bx < 0;
  return isFilmWithin ? Math.min(first, second) : Math.max(first, second);
}

/** Triangles that hang together, and the largest disk among them. */
interface NeckParts {
  readonly parent: Int32Array;
  /** By part: the disk's diameter, in mm. */
  readonly widest: Float64Array;
}

function partOf({ parent }: NeckParts, triangle: number): number {
  let t = triangle;
  while (parent[t] !== t) t = parent[t] = parent[parent[t]];
  return t;
}

function join({ parent, widest }: NeckParts, a: number, b: number): void {
  parent[a] = b;
  widest[b] = Math.max(widest[a], widest[b]);
}

function necksIn(
  kind: NeckKind,
  limitMm: number,
  short: { readonly part: number; readonly neck: number },
  mesh: Mesh,
): Neck[] {
  const { samples, triangles, halfedges, radius } = mesh;
  const parts: NeckParts = {
    parent: Int32Array.from(radius, (_, t) => t),
    widest: radius.map((r) => 2 * r),
  };
  // Between samples a step apart a neck can seem wider than it is, by as much as a chord's height on either side.
  const seeming = samples.stepMm ** 2 / (2 * limitMm);
  const narrow: { readonly edge: number; readonly widthMm: number }[] = [];
  for (let edge = 0; edge < triangles.length; edge++) {
    const twin = halfedges[edge];
    if (twin < edge || !isWay(edge, twin, kind, mesh)) continue;
    const widthMm = wayWidth(edge, twin, mesh);
    if (widthMm < limitMm + seeming) narrow.push({ edge, widthMm });
    else join(parts, partOf(parts, triangleOf(edge)), partOf(parts, triangleOf(twin)));
  }
  narrow.sort((a, b) => b.widthMm - a.widthMm);
  const necks: Neck[] = [];
  for (const { edge, widthMm } of narrow) {
    const a = partOf(parts, triangleOf(edge));
    const b = partOf(parts, triangleOf(halfedges[edge]));
    const narrower = Math.min(parts.widest[a], parts.widest[b]);
    // Of parts that are short themselves only what is narrower still is a neck.
    const isFull = narrower >= limitMm - WIDTH_TOLERANCE_MM;
    const wanted = isFull ? limitMm : limitMm - short.neck;
    if (isFull || narrower >= limitMm - short.part - WIDTH_TOLERANCE_MM) {
      const neck = neckAcross(kind, triangles[edge], triangles[nextOf(edge)], samples);
      // Along a taper there is always a narrower way further on.
      const isHere = widthMm - neck.widthMm < seeming + SAME_MM;
      // Where both ends are of one part already, a ring of it closes here, at the ring's narrowest place.
      const isWaist = a === b || neck.widthMm < narrower - seeming - SAME_MM;
      if (isHere && isWaist && neck.widthMm < wanted - SAME_MM) necks.push(neck);
    }
    if (a !== b) join(parts, a, b);
  }
  return kind === FILM ? necks : [...necks, ...touching(parts, limitMm, mesh)];
}

const triangleOf = (edge: number): number => Math.floor(edge / 3);
const nextOf = (edge: number): number => (edge % 3 === 2 ? edge - 2 : edge + 1);
const apexOf = (edge: number): number => (edge % 3 === 0 ? edge + 2 : edge - 1);

/** Whether two triangles are of one kind, and their shared side does not run along an outline. */
function isWay(edge: number, twin: number, kind: NeckKind, mesh: Mesh): boolean {
  const [s, t] = [triangleOf(edge), triangleOf(twin)];
  if (mesh.kind[s] !== kind || mesh.kind[t] !== kind) return false;
  if (mesh.radius[s] === 0 || mesh.radius[t] === 0) return false;
  const [i, j] = [mesh.triangles[edge], mesh.triangles[nextOf(edge)]];
  return mesh.samples.after[i] !== j && mesh.samples.after[j] !== i;
}

/** The diameter of the largest disk that passes from one triangle to the next, in mm. */
function wayWidth(edge: number, twin: number, { samples, triangles, radius }: Mesh): number {
  const { points } = samples;
  const [i, j] = [triangles[edge], triangles[nextOf(edge)]];
  const passes =
    isAcute(points, triangles[apexOf(edge)], i, j) &&
    isAcute(points, triangles[apexOf(twin)], i, j);
  return passes
    ? Math.hypot(points[2 * i] - points[2 * j], points[2 * i + 1] - points[2 * j + 1])
    : 2 * Math.min(radius[triangleOf(edge)], radius[triangleOf(twin)]);
}

/** Whether two samples are seen under less than a right angle from a third. */
function isAcute(points: Float64Array, from: number, i: number, j: number): boolean {
  const [x, y] = [points[2 * from], points[2 * from + 1]];
  const [ax, ay] = [points[2 * i] - x, points[2 * i + 1] - y];
  return ax * (points[2 * j] - x) + ay * (points[2 * j + 1] - y) > 0;
}

/** The parts of an opening between which there is no way at all: its outline touches itself. */
function touching(parts: NeckParts, limitMm: number, { samples, triangles, kind }: Mesh): Neck[] {
  const firstOf = new Map<number, number>();
  const touched = new Set<number>();
  for (let t = 0; t < kind.length; t++) {
    if (kind[t] !== OPENING || parts.parent[t] !== t || parts.widest[t] < limitMm) continue;
    const shape = samples.shapes[triangles[3 * t]];
    if (firstOf.has(shape)) touched.add(shape);
    firstOf.set(shape, t);
  }
  return [...touched].flatMap((shape): Neck[] => {
    const seen = new Set<number>();
    for (let i = 0; i < samples.shapes.length; i++) {
      if (samples.shapes[i] !== shape) continue;
      const from = sampleAt(samples, i);
      const key = gridKey(from.x, from.y);
      if (seen.has(key)) {
        return [{ region: 'opening', allOver: false, widthMm: 0, from, to: from }];
      }
      seen.add(key);
    }
    return [];
  });
}

/** The openings that hold no disk of the limit's diameter. */
function narrowAllOver(count: number, limitMm: number, mesh: Mesh): Neck[] {
  const { samples, triangles, radius, kind } = mesh;
  const widest = new Int32Array(count).fill(-1);
  for (let t = 0; t < radius.length; t++) {
    if (kind[t] !== OPENING) continue;
    const shape = samples.shapes[triangles[3 * t]];
    if (shape < 0) continue;
    if (widest[shape] < 0 || radius[t] > radius[widest[shape]]) widest[shape] = t;
  }
  const narrow = [...widest].filter((t) => t >= 0 && 2 * radius[t] < limitMm);
  return narrow.map((t) => allOverAt(t, 'opening', mesh));
}

/** A mask that nowhere holds a disk of the limit's diameter, told at its widest place. A stencil's frame always does. */
function maskNarrowAllOver(limitMm: number, mesh: Mesh): Neck[] {
  const { radius, kind } = mesh;
  let widest = -1;
  for (let t = 0; t < radius.length; t++) {
    if (kind[t] === FILM && (widest < 0 || radius[t] > radius[widest])) widest = t;
  }
  const isNarrow = widest >= 0 && 2 * radius[widest] < limitMm - WIDTH_TOLERANCE_MM;
  return isNarrow ? [allOverAt(widest, 'film', mesh)] : [];
}

/** What is narrow all over, at a triangle of the mesh: across the longest of its sides. */
function allOverAt(t: number, region: Neck['region'], { samples, triangles, radius }: Mesh): Neck {
  const corners = [0, 1, 2].map((k) => sampleAt(samples, triangles[3 * t + k]));
  const sides = [0, 1, 2].map((k) => [corners[k], corners[(k + 1) % 3]] as const);
  const [from, to] = sides.reduce((a, b) => (distance(...b) > distance(...a) ? b : a));
  return { region, allOver: true, widthMm: 2 * radius[t], from, to };
}

/**
 * Going to and fro between two stretches comes nearer each time; it ends when that is nothing, or after this many
 * turns.
 */
const MOST_TURNS = 12;
/**
 * So many samples on either side of one are looked along: the narrowest place lies between two samples, seldom further
 * off.
 */
const AROUND = 3;

/** The shortest way between two stretches of outline, round a sample on each. */
function neckAcross(kind: NeckKind, i: number, j: number, samples: Samples): Neck {
  let [from, to] = [sampleAt(samples, i), sampleAt(samples, j)];
  const [first, second] = [stretchRound(i, j, samples), stretchRound(j, i, samples)];
  let widthMm = Infinity;
  for (let turn = 0; turn < MOST_TURNS; turn++) {
    from = nearestOn(to, first, samples);
    to = nearestOn(from, second, samples);
    const now = distance(from, to);
    if (widthMm - now < SAME_MM) break;
    widthMm = now;
  }
  const region = kind === FILM ? 'film' : 'opening';
  return { region, allOver: false, widthMm: distance(from, to), from, to };
}

function sampleAt({ points }: Samples, i: number): Point {
  return { x: points[2 * i], y: points[2 * i + 1] };
}

/** The samples round one, in order, of those that lie nearer to it than to another along the same outline. */
function stretchRound(i: number, other: number, { before, after }: Samples): number[] {
  const stretch = [i];
  let [back, on] = [i, i];
  let [isFreeBack, isFreeOn] = [true, true];
  for (let k = 0; k < AROUND; k++) {
    isFreeBack &&= !leadsTo(before, back, other, k + 2);
    isFreeOn &&= !leadsTo(after, on, other, k + 2);
    if (isFreeBack) stretch.unshift((back = before[back]));
    if (isFreeOn) stretch.push((on = after[on]));
  }
  return stretch;
}

function leadsTo(next: Int32Array, from: number, other: number, steps: number): boolean {
  let at = from;
  for (let k = 0; k < steps; k++) {
    at = next[at];
    if (at === other) return true;
  }
  return false;
}

/** The place on a stretch of outline that is nearest to another. */
function nearestOn(to: Point, stretch: readonly number[], samples: Samples): Point {
  let best = sampleAt(samples, stretch[0]);
  for (let k = 0; k + 1 < stretch.length; k++) {
    const p = sampleAt(samples, stretch[k]);
    const q = sampleAt(samples, stretch[k + 1]);
    const [dx, dy] = [q.x - p.x, q.y - p.y];
    const share = ((to.x - p.x) * dx + (to.y - p.y) * dy) / (dx * dx + dy * dy);
    const t = Math.min(1, Math.max(0, share));
    const place = { x: p.x + t * dx, y: p.y + t * dy };
    if (distance(place, to) < distance(best, to)) best = place;
  }
  return best;
}
