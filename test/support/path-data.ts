import { isDeepStrictEqual } from 'node:util';

/** x, y of a cubic Bézier curve's start, its two controls and its end. */
export type Curve = readonly number[];

/**
 * The commands of the path `#openings`: absolute M, L, C and Z alone (SVG 2, section 9.3).
 *
 * @throws Error for any other command, or where there is no such path
 */
function commandsOf(svg: string): { readonly command: string; readonly numbers: number[] }[] {
  const data = /<path id="openings"[^>]* d="([^"]*)"/.exec(svg)?.[1];
  if (data === undefined) throw new Error('There is no path with the id "openings"');
  return [...data.matchAll(/([a-z])([^a-z]*)/gi)].map(([, command, words]) => {
    const numbers = words
      .split(/[\s,]+/)
      .filter((word) => word !== '')
      .map(Number);
    const wanted = { M: 2, L: 2, C: 6, Z: 0 }[command];
    if (numbers.length !== wanted) throw new Error(`Unexpected path data: ${command}${words}`);
    return { command, numbers };
  });
}

/** The curves of the path `#openings`, lines left out. */
export function curvesOf(svg: string): Curve[] {
  const curves: Curve[] = [];
  let [x, y] = [NaN, NaN];
  for (const { command, numbers } of commandsOf(svg)) {
    if (command === 'C') curves.push([x, y, ...numbers]);
    if (command !== 'Z') [x, y] = numbers.slice(-2);
  }
  return curves;
}

/** The closed loops of the path `#openings` as many points each, the first not repeated. */
export function loopsOf(svg: string): (readonly [number, number])[][] {
  const loops: (readonly [number, number])[][] = [];
  for (const { command, numbers } of commandsOf(svg)) {
    const loop = loops.at(-1) ?? [];
    const [x, y] = loop.at(-1) ?? [];
    if (command === 'M') loops.push([[numbers[0], numbers[1]]]);
    if (command === 'L') loop.push([numbers[0], numbers[1]]);
    if (command === 'C') {
      const curve = [x!, y!, ...numbers];
      for (let k = 1; k <= STEPS; k++)
        loop.push([along(curve, 0, k / STEPS), along(curve, 1, k / STEPS)]);
    }
    if (command === 'Z' && loop.length > 1 && isDeepStrictEqual(loop[0], loop.at(-1))) loop.pop();
  }
  return loops;
}

/** The part of a curve that turns more tightly than a radius, looked at in even steps. */
export interface TightPart {
  readonly lengthMm: number;
  /** By how much it turns there, in radians. */
  readonly turn: number;
  /** The tightest place, and the radius of curvature there. */
  readonly x: number;
  readonly y: number;
  readonly radiusMm: number;
}

const STEPS = 64;

/** What of a curve turns more tightly than `leastMm`; its length is 0 where nothing does. */
export function tightPart(curve: Curve, leastMm: number): TightPart {
  let part: TightPart = { lengthMm: 0, turn: 0, x: NaN, y: NaN, radiusMm: Infinity };
  for (let k = 0; k < STEPS; k++) {
    const t = (k + 0.5) / STEPS;
    const radiusMm = radiusAt(curve, t);
    if (radiusMm >= leastMm) continue;
    const step = speedAt(curve, t) / STEPS;
    const lengthMm = part.lengthMm + step;
    const turn = part.turn + step / radiusMm;
    if (radiusMm < part.radiusMm) {
      part = { radiusMm, x: along(curve, 0, t), y: along(curve, 1, t), lengthMm, turn };
    } else {
      part = { ...part, lengthMm, turn };
    }
  }
  return part;
}

function speedAt(curve: Curve, t: number): number {
  return Math.hypot(derivatives(curve, 0, t)[0], derivatives(curve, 1, t)[0]);
}

/** |v|³ / |v × a|, by de Casteljau's differences. */
function radiusAt(curve: Curve, t: number): number {
  const [vx, ax] = derivatives(curve, 0, t);
  const [vy, ay] = derivatives(curve, 1, t);
  const cross = Math.abs(vx * ay - vy * ax);
  return cross === 0 ? Infinity : Math.hypot(vx, vy) ** 3 / cross;
}

function derivatives(c: Curve, axis: 0 | 1, t: number): readonly [number, number] {
  const [d0, d1, d2] = [0, 2, 4].map((i) => 3 * (c[i + 2 + axis] - c[i + axis]));
  const [e0, e1] = [2 * (d1 - d0), 2 * (d2 - d1)];
  return [(1 - t) ** 2 * d0 + 2 * t * (1 - t) * d1 + t * t * d2, (1 - t) * e0 + t * e1];
}

function along(c: Curve, axis: 0 | 1, t: number): number {
  const s = 1 - t;
  return (
    s * s * s * c[axis] +
    3 * s * s * t * c[axis + 2] +
    3 * s * t * t * c[axis + 4] +
    t * t * t * c[axis + 6]
  );
}

/**
 * What a path `#openings` covers by its own rule, even-odd, in mm²: of each subpath the area by Green's theorem, which of
 * a cubic is exact, taken off where it lies in an odd number of others. Subpaths do not cross.
 */
export function areaInside(svg: string): number {
  const loops = loopsOf(svg).map((loop) => ({ loop, box: boxOf(loop) }));
  return exactAreas(svg).reduce((sum, area, k) => {
    const [x, y] = loops[k].loop[0];
    const depth = loops.filter(
      ({ loop, box }, other) => other !== k && isInBox(box, x, y) && isWithin(loop, x, y),
    ).length;
    return sum + (depth % 2 === 0 ? 1 : -1) * Math.abs(area);
  }, 0);
}

/** The least and the largest x, then y. */
type Box = readonly [number, number, number, number];

function boxOf(loop: readonly (readonly [number, number])[]): Box {
  let [fromX, toX, fromY, toY] = [Infinity, -Infinity, Infinity, -Infinity];
  for (const [x, y] of loop) {
    if (x < fromX) fromX = x;
    if (x > toX) toX = x;
    if (y < fromY) fromY = y;
    if (y > toY) toY = y;
  }
  return [fromX, toX, fromY, toY];
}

const isInBox = ([fromX, toX, fromY, toY]: Box, x: number, y: number): boolean =>
  x >= fromX && x <= toX && y >= fromY && y <= toY;

function exactAreas(svg: string): number[] {
  const areas: number[] = [];
  let [x, y, fromX, fromY] = [NaN, NaN, NaN, NaN];
  const add = (twice: number): void => {
    areas[areas.length - 1] += twice / 2;
  };
  for (const { command, numbers } of commandsOf(svg)) {
    if (command === 'M') {
      areas.push(0);
      [fromX, fromY] = numbers;
    }
    if (command === 'L') add(x * numbers[1] - numbers[0] * y);
    if (command === 'Z') add(x * fromY - fromX * y);
    if (command === 'C') add(twiceUnder([x, y, ...numbers]));
    [x, y] = command === 'Z' ? [fromX, fromY] : numbers.slice(-2);
  }
  return areas;
}

/** ∮ x dy − y dx along a cubic, by its Bernstein coefficients. */
function twiceUnder(c: Curve): number {
  const cross = (i: number, j: number): number => c[2 * i] * c[2 * j + 1] - c[2 * j] * c[2 * i + 1];
  return (
    (6 * cross(0, 1) + 3 * cross(0, 2) + cross(0, 3) + 3 * cross(1, 2) + 3 * cross(1, 3) + 6 * cross(2, 3)) / 10
  ); // prettier-ignore
}

function isWithin(loop: readonly (readonly [number, number])[], x: number, y: number): boolean {
  let isIn = false;
  loop.forEach(([ax, ay], k) => {
    const [bx, by] = loop[(k + 1) % loop.length];
    if (ay > y !== by > y && x < ax + ((y - ay) / (by - ay)) * (bx - ax)) isIn = !isIn;
  });
  return isIn;
}
