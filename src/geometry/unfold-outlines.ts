import type { Bounds } from './bounding-box.js';
import { pointAt } from './cubic.js';
import { flatten } from './flatten.js';
import {
  imageOf,
  insideOf,
  inverseOf,
  isReflection,
  type FoldLine,
  type SymmetryPattern,
  type Isometry,
} from './fold-pattern.js';
import { outlineOfCurves, turnedBack, type OutlineCurve } from './outline.js';
import { nest } from './boolean-operations.js';
import type { Outline, Shape } from './shape.js';
import { signedArea } from './signed-area.js';
import { subCurve } from './sub-curve.js';

/** Factors so small are 0; lengths may be off by so much in binary; and places nearer than this, in mm, are one. */
const [FLAT, ROUNDING, SAME_MM] = [1e-14, 1e-9, 1e-6];

/** What of an outline lies in the packet: from a fold to a fold, or all the way round. */
export interface PacketChain {
  readonly stretches: readonly OutlineCurve[];
  /** The mirrors that it begins and ends on, 0 or 1; undefined for a whole outline, which touches none. */
  readonly ends?: readonly [from: 0 | 1, to: 0 | 1];
}

/** Chains and outlines so small, in mm and mm², come of rounding where an outline touches a fold. */
const LEAST_CHAIN_MM = 0.02;
const LEAST_LOOP_MM2 = 0.02;
/** Within so much of a right angle to the fold, in degrees, an outline is led over it without a corner. */
const SMOOTH_DEGREES = 35;
/** A straight line is bent into a right angle over so much of its end at most, in mm. */
const BEND_MM = 1.5;

/**
 * The outlines that a copy of the packet shows, laid into the packet: cut where they cross its folds.
 *
 * Where an outline meets a fold at nearly a right angle it is made to meet it at one, so that it runs on smoothly in
 * its mirror image.
 */
export function packetChains(
  outlines: readonly Outline[],
  pattern: SymmetryPattern,
  copy = 0,
): PacketChain[] {
  const back = inverseOf(pattern.copies[copy]);
  return outlines.flatMap((outline) =>
    isBeyondMirror(outline, pattern, copy, CLEARLY_MM)
      ? []
      : chainsOf(movedOutline(outline, back), pattern),
  );
}

/** What lies so far beyond a fold, in mm, is beyond it by no rounding. */
const CLEARLY_MM = 1e-6;

/**
 * Whether an outline lies wholly beyond one of the two folds of a copy, by more than so many mm, so that the copy shows
 * nothing of it. A curve lies among its controls.
 */
export function isBeyondMirror(
  { coords }: Pick<Outline, 'coords'>,
  { copies, mirrors }: SymmetryPattern,
  copy: number,
  mm: number,
): boolean {
  const place = copies[copy];
  return mirrors.some(({ at, normal }) => {
    const [there, end] = [at, { x: at.x + normal.x, y: at.y + normal.y }].map((point) => imageOf(place, point)); // prettier-ignore
    const [u, v] = [end.x - there.x, end.y - there.y];
    for (let i = 0; i < coords.length; i += 2) {
      if ((coords[i] - there.x) * u + (coords[i + 1] - there.y) * v >= -mm) return false;
    }
    return true;
  });
}

/** An outline at its image; it still has what it encloses on the same hand. */
export function movedOutline(outline: Outline, to: Isometry): Outline {
  const coords = new Float64Array(outline.coords.length);
  for (let i = 0; i < coords.length; i += 2) {
    const { x, y } = imageOf(to, { x: outline.coords[i], y: outline.coords[i + 1] });
    coords[i] = x;
    coords[i + 1] = y;
  }
  const moved = { ...outline, coords };
  return isReflection(to) ? turnedBack(moved) : moved;
}

function chainsOf(outline: Outline, { mirrors, beside }: SymmetryPattern): PacketChain[] {
  const cut = cutAtMirrors(outline, mirrors);
  const inside = cut.map(({ cubic }) => {
    const [x, y] = pointAt(cubic, 0.5);
    return mirrors.every((mirror) => insideOf(mirror, x, y) > 0);
  });
  if (inside.every(Boolean)) return [{ stretches: cut }];
  const n = cut.length;
  const chains: PacketChain[] = [];
  for (let first = 0; first < n; first++) {
    if (!inside[first] || inside[(first + n - 1) % n]) continue;
    let count = 1;
    while (inside[(first + count) % n]) count++;
    const stretches = Array.from({ length: count }, (_, k) => cut[(first + k) % n]);
    const chain = beside === 'mirrored' ? landed(stretches, mirrors) : met(stretches, mirrors);
    if (chain) chains.push(chain);
  }
  return chains;
}

/** An outline's curves, cut where they cross a mirror. */
function cutAtMirrors(
  { coords, straight, corner }: Outline,
  mirrors: SymmetryPattern['mirrors'],
): OutlineCurve[] {
  const stretches: OutlineCurve[] = [];
  for (let i = 0; i < straight.length; i++) {
    const cubic = Float64Array.from({ length: 8 }, (_, k) => coords[(6 * i + k) % coords.length]);
    const cuts = mirrors.flatMap((mirror) => crossings(cubic, mirror)).sort((a, b) => a - b);
    const bounds = [0, ...cuts, 1];
    for (let k = 0; k + 1 < bounds.length; k++) {
      if (bounds[k + 1] - bounds[k] < LEAST_STEP) continue;
      stretches.push({
        cubic: subCurve(cubic, bounds[k], bounds[k + 1]),
        straight: straight[i] === 1,
        corner: k === 0 && corner[i] === 1,
      });
    }
  }
  return stretches;
}

/** Parameters closer than this are one place. */
const LEAST_STEP = 1e-9;

/** The parameters, inside 0 to 1, at which a curve crosses a line. */
function crossings(cubic: Float64Array, mirror: FoldLine): number[] {
  const d = [0, 2, 4, 6].map((k) => insideOf(mirror, cubic[k], cubic[k + 1]));
  if (d.every((value) => value > 0) || d.every((value) => value < 0)) return [];
  // By powers of t; where its slope is 0 the distance turns, and between two turns it has one crossing at most.
  const [p0, p1] = [d[0], 3 * (d[1] - d[0])];
  const p2 = 3 * (d[0] - 2 * d[1] + d[2]);
  const p3 = d[3] - d[0] + 3 * (d[1] - d[2]);
  const at = (t: number): number => ((p3 * t + p2) * t + p1) * t + p0;
  const turns = quadraticRoots(3 * p3, 2 * p2, p1).filter((t) => t > 0 && t < 1);
  const bounds = [0, ...turns.sort((a, b) => a - b), 1];
  const found: number[] = [];
  for (let k = 0; k + 1 < bounds.length; k++) {
    let [low, high] = [bounds[k], bounds[k + 1]];
    const isUp = at(low) < 0;
    if (isUp === at(high) < 0) continue;
    for (let step = 0; step < 60; step++) {
      const middle = (low + high) / 2;
      if (at(middle) < 0 === isUp) low = middle;
      else high = middle;
    }
    if (low > LEAST_STEP && low < 1 - LEAST_STEP) found.push(low);
  }
  return found;
}

function quadraticRoots(a: number, b: number, c: number): number[] {
  if (Math.abs(a) < FLAT) return Math.abs(b) < FLAT ? [] : [-c / b];
  const root = Math.sqrt(b * b - 4 * a * c);
  return Number.isNaN(root) ? [] : [(-b - root) / (2 * a), (-b + root) / (2 * a)];
}

/** A chain whose ends lie on the mirrors that they meet, at right angles where they nearly do. */
function landed(
  stretches: readonly OutlineCurve[],
  mirrors: SymmetryPattern['mirrors'],
): PacketChain | undefined {
  const own = stretches.map((each) => ({ ...each, cubic: each.cubic.slice() }));
  const first = own[0];
  const last = own[own.length - 1];
  const from = nearestMirror(mirrors, first.cubic[0], first.cubic[1]);
  const to = nearestMirror(mirrors, last.cubic[6], last.cubic[7]);
  const starts = squaredUp(first.cubic, mirrors[from], 0, 2, first.straight);
  const ends = squaredUp(last.cubic, mirrors[to], 6, 4, last.straight);
  own[0] = { ...first, corner: !starts, straight: first.straight && starts !== 'bent' };
  own[own.length - 1] = {
    ...own[own.length - 1],
    straight: own[own.length - 1].straight && ends !== 'bent',
  };
  const length = own.reduce(
    (sum, { cubic }) => sum + Math.hypot(cubic[6] - cubic[0], cubic[7] - cubic[1]),
    0,
  );
  return length < LEAST_CHAIN_MM ? undefined : { stretches: own, ends: [from, to] };
}

/** A chain that ends where it meets the lines between turned parts. */
function met(
  stretches: readonly OutlineCurve[],
  mirrors: SymmetryPattern['mirrors'],
): PacketChain | undefined {
  const [first, last] = [stretches[0].cubic, stretches[stretches.length - 1].cubic];
  const from = nearestRay(mirrors, first[0], first[1]);
  const to = nearestRay(mirrors, last[6], last[7]);
  return { stretches, ends: [from, to] };
}

/** Of the two rays that bound a wedge the one that a place lies on: of half a turn both are one line. */
function nearestRay([one, other]: SymmetryPattern['mirrors'], x: number, y: number): 0 | 1 {
  const off = ({ at, normal }: FoldLine, hand: number): number => {
    const [dx, dy] = [x - at.x, y - at.y];
    const along = hand * (dx * normal.y - dy * normal.x);
    return along < 0 ? Math.hypot(dx, dy) : Math.abs(dx * normal.x + dy * normal.y);
  };
  return off(one, 1) <= off(other, -1) ? 0 : 1;
}

function nearestMirror(mirrors: SymmetryPattern['mirrors'], x: number, y: number): 0 | 1 {
  const [a, b] = mirrors.map((mirror) => Math.abs(insideOf(mirror, x, y)));
  return a <= b ? 0 : 1;
}

/**
 * Lays the end of a curve on a mirror, and its control onto the mirror's normal where it is nearly there. Writes to the
 * curve. False where the end stays a corner; bent where a straight line became a curve.
 */
function squaredUp(
  cubic: Float64Array,
  { at, normal }: FoldLine,
  end: 0 | 6,
  control: 2 | 4,
  straight: boolean,
): 'true' | 'bent' | false {
  const off = (cubic[end] - at.x) * normal.x + (cubic[end + 1] - at.y) * normal.y;
  cubic[end] -= off * normal.x;
  cubic[end + 1] -= off * normal.y;
  const [dx, dy] = [cubic[control] - cubic[end], cubic[control + 1] - cubic[end + 1]];
  const length = Math.hypot(dx, dy);
  const along = dx * normal.x + dy * normal.y;
  if (length === 0 || along < length * Math.cos((SMOOTH_DEGREES * Math.PI) / 180)) return false;
  if (straight && length - along < ROUNDING * length) return 'true';
  const reach = straight ? Math.min(length, BEND_MM) : length;
  cubic[control] = cubic[end] + reach * normal.x;
  cubic[control + 1] = cubic[end + 1] + reach * normal.y;
  return 'bent';
}

/** What holds for the opened sheet. */
export interface Unfolding {
  /** Of a strip that is cut free all round: the outline that encloses everything. */
  readonly around?: Outline;
  /** No image of an outline leaves this box, in mm. */
  readonly inside?: Bounds;
}

/** A chain whose controls, and so its curves, have every image inside a box. Those on a fold stay on it. */
export function keptInside(
  chain: PacketChain,
  { copies }: SymmetryPattern,
  box: Bounds,
): PacketChain {
  const stretches = chain.stretches.map((stretch) => {
    const cubic = stretch.cubic.slice();
    let moved = false;
    for (let k = 0; k < 8; k += 2) {
      for (const { a, b, c, d, e, f } of copies) {
        const [x, y] = [a * cubic[k] + c * cubic[k + 1] + e, b * cubic[k] + d * cubic[k + 1] + f];
        const dx = Math.max(box.left - x, 0) + Math.min(box.right - x, 0);
        const dy = Math.max(box.top - y, 0) + Math.min(box.bottom - y, 0);
        if (dx === 0 && dy === 0) continue;
        cubic[k] += a * dx + b * dy;
        cubic[k + 1] += c * dx + d * dy;
        moved = true;
      }
    }
    return moved ? { ...stretch, cubic, straight: false } : stretch;
  });
  return { ...chain, stretches };
}

/**
 * The openings of the whole sheet, from those of one copy of the packet: each chain runs on in its mirror image where
 * it meets a fold, until it comes back, so that no seam is left and nothing has to be joined.
 *
 * What ends where a strip ends is closed along that end, film inside.
 *
 * @param copy the copy whose openings are repeated
 */
export function unfoldedShapes(
  outlines: readonly Outline[],
  pattern: SymmetryPattern,
  copy: number,
  { around, inside }: Unfolding = {},
): Shape[] {
  const chains = packetChains(outlines, pattern, copy);
  const kept = inside ? chains.map((chain) => keptInside(chain, pattern, inside)) : chains;
  const loops = unfoldedLoops(kept, pattern);
  return assembled(around ? [around, ...loops] : loops);
}

export function assembled(outlines: readonly Outline[]): Shape[] {
  const byLoop = new Map<Float64Array, Outline>();
  for (const outline of outlines) {
    const loop = flatten(outline);
    if (Math.abs(signedArea(loop)) >= LEAST_LOOP_MM2) byLoop.set(loop, outline);
  }
  return nest([...byLoop.keys()]).map(({ outer, holes }) => ({
    outer: byLoop.get(outer)!,
    holes: holes.map((hole) => byLoop.get(hole)!),
  }));
}

/** A way along chains that has not come back: it ends where the sheet does. */
interface OpenWay {
  readonly stretches: readonly OutlineCurve[];
}

function unfoldedLoops(chains: readonly PacketChain[], pattern: SymmetryPattern): Outline[] {
  const { copies, across } = pattern;
  const loops: Outline[] = [];
  const open: OpenWay[] = [];
  const seen = chains.map(() => new Uint8Array(copies.length));
  const walk = (chain: number, copy: number): void => {
    const { stretches, ends } = chains[chain];
    if (!ends) {
      loops.push(outlineOfStretches(imagesOf(stretches, copies[copy])));
      return;
    }
    const way: OutlineCurve[] = [];
    let at = copy;
    while (at >= 0 && seen[chain][at] === 0) {
      seen[chain][at] = 1;
      way.push(...imagesOf(stretches, copies[at]));
      at = across[at][isReflection(copies[at]) ? ends[0] : ends[1]];
    }
    if (at < 0) open.push({ stretches: way });
    else loops.push(outlineOfStretches(way));
  };
  // Ways that begin at an end of the sheet first: begun in their middle they would be found in two parts.
  chains.forEach(({ ends }, chain) => {
    if (!ends) return;
    copies.forEach((place, copy) => {
      if (across[copy][isReflection(place) ? ends[1] : ends[0]] < 0) walk(chain, copy);
    });
  });
  chains.forEach(({ ends }, chain) => {
    copies.forEach((_, copy) => {
      if (!ends || seen[chain][copy] === 0) walk(chain, copy);
    });
  });
  return [...loops, ...closedAtEnds(open)];
}

/** A chain's image, run so that it has the same on the same hand. */
export function imagesOf(stretches: readonly OutlineCurve[], to: Isometry): OutlineCurve[] {
  const images = stretches.map(({ cubic, ...rest }) => {
    const image = new Float64Array(8);
    for (let k = 0; k < 8; k += 2) {
      const { x, y } = imageOf(to, { x: cubic[k], y: cubic[k + 1] });
      image[k] = x;
      image[k + 1] = y;
    }
    return { ...rest, cubic: image };
  });
  if (!isReflection(to)) return images;
  const n = images.length;
  // A corner stands at a stretch's start, which is its end from the other side.
  return images.map((_, k) => {
    const { cubic, straight } = images[n - 1 - k];
    const back = Float64Array.of(
      cubic[6],
      cubic[7],
      cubic[4],
      cubic[5],
      cubic[2],
      cubic[3],
      cubic[0],
      cubic[1],
    );
    const corner = k > 0 ? images[n - k].corner : isCornerAtEnd(images);
    return { cubic: back, straight, corner };
  });
}

/** Whether a chain's last end is a corner: of one that meets a fold, unless it meets it at a right angle. */
function isCornerAtEnd(stretches: readonly OutlineCurve[]): boolean {
  // Of a closed outline the end is the start.
  const first = stretches[0];
  const last = stretches[stretches.length - 1];
  const isClosed =
    Math.hypot(last.cubic[6] - first.cubic[0], last.cubic[7] - first.cubic[1]) < SAME_MM;
  return isClosed ? first.corner : false;
}

/** The outline that stretches make: where they meet bent, there is a corner too. */
export function outlineOfStretches(stretches: readonly OutlineCurve[]): Outline {
  const last = stretches.length - 1;
  return outlineOfCurves(
    stretches.map((one, i) => {
      const before = stretches[i === 0 ? last : i - 1];
      return { ...one, corner: one.corner || isBent(before.cubic, one.cubic) };
    }),
  );
}

/** What turns by more than this from one curve to the next, in degrees, is a corner. */
const CORNER_DEGREES = 25;

/** Whether two curves meet in a corner. */
function isBent(before: Float64Array, after: Float64Array): boolean {
  const into = direction(before, 6, 4, 2, 0);
  const out = direction(after, 0, 2, 4, 6);
  const turn = Math.abs(
    Math.atan2(-into.x * out.y + into.y * out.x, -(into.x * out.x + into.y * out.y)),
  );
  return turn > (CORNER_DEGREES * Math.PI) / 180;
}

/** From one end of a curve to the first control that lies apart from it. */
export function direction(
  cubic: Float64Array,
  from: number,
  ...to: readonly number[]
): { x: number; y: number } {
  for (const k of to) {
    const [x, y] = [cubic[k] - cubic[from], cubic[k + 1] - cubic[from + 1]];
    if (Math.hypot(x, y) > ROUNDING) return { x, y };
  }
  return { x: 0, y: 0 };
}

/** Ways that end where the sheet does, closed along its ends: of what lies there every second stretch is film. */
function closedAtEnds(ways: readonly OpenWay[]): Outline[] {
  if (ways.length === 0) return [];
  const ends = ways.flatMap(({ stretches }, way) => {
    const first = stretches[0].cubic;
    const last = stretches[stretches.length - 1].cubic;
    return [
      { way, isStart: true, x: first[0], y: first[1] },
      { way, isStart: false, x: last[6], y: last[7] },
    ];
  });
  const middle = (Math.min(...ends.map(({ x }) => x)) + Math.max(...ends.map(({ x }) => x))) / 2;
  const next = new Map<number, number>();
  for (const isRight of [false, true]) {
    const side = ends.filter(({ x }) => x > middle === isRight).sort((a, b) => a.y - b.y);
    for (let k = 0; k + 1 < side.length; k += 2) {
      const [a, b] = [side[k], side[k + 1]];
      const [from, to] = a.isStart ? [b, a] : [a, b];
      if (from.isStart || !to.isStart) continue;
      next.set(from.way, to.way);
    }
  }
  const loops: Outline[] = [];
  const done = new Set<number>();
  for (const start of next.keys()) {
    const stretches: OutlineCurve[] = [];
    let way: number | undefined = start;
    while (way !== undefined && !done.has(way)) {
      done.add(way);
      const own: readonly OutlineCurve[] = ways[way].stretches;
      const following: number | undefined = next.get(way);
      stretches.push({ ...own[0], corner: true }, ...own.slice(1));
      if (following === undefined) break;
      const last = own[own.length - 1].cubic;
      const then = ways[following].stretches[0].cubic;
      stretches.push(lineBetween(last[6], last[7], then[0], then[1]));
      way = following;
    }
    if (stretches.length > 0) loops.push(outlineOfStretches(stretches));
  }
  return loops;
}

function lineBetween(x0: number, y0: number, x1: number, y1: number): OutlineCurve {
  const [dx, dy] = [(x1 - x0) / 3, (y1 - y0) / 3];
  return {
    cubic: Float64Array.of(x0, y0, x0 + dx, y0 + dy, x1 - dx, y1 - dy, x1, y1),
    straight: true,
    corner: true,
  };
}
