import { readFileSync } from 'node:fs';
import { createRequire } from 'node:module';
import { bridge } from '../../src/stages/bridge/bridge.js';
import { completeJob } from '../../src/settings/job.js';
import { seededRandom } from '../../src/common/seeded-random.js';
import { rasterise } from '../../src/geometry/rasterise.js';
import { isInside, type Region } from '../../src/geometry/boolean-operations.js';
import { labelRegions } from '../../src/raster/labels.js';
import type { Bitmap } from '../../src/raster/raster.js';
import type { Outline, Point, Shape } from '../../src/geometry/shape.js';
import { counterBridges } from '../../src/lettering/counter-bridges.js';
import { openFont, type Font } from '../../src/lettering/font.js';
import { inkOf } from '../../src/lettering/ink.js';

/*
 * Bridges beside those that type designers laid: open typefaces and their published stencil versions, of the open
 * collection on npm, `@fontsource/*`, under the SIL Open Font License.
 */

/** A typeface and its stencil version: the package, and the weight. */
export const PAIRS: readonly (readonly [plain: string, stencil: string])[] = [
  ['allerta 400', 'allerta-stencil 400'],
  ['saira 700', 'saira-stencil-one 400'],
  ['big-shoulders-display 700', 'big-shoulders-stencil-display 700'],
  ['big-shoulders-text 700', 'big-shoulders-stencil-text 700'],
];

/** Every capital, small letter and figure. */
const LETTERS = 'ABCDEFGHIJKLMNOPQRSTUVWXYZabcdefghijklmnopqrstuvwxyz0123456789';

const require = createRequire(import.meta.url);

async function openPackaged(name: string): Promise<Font> {
  const [family, weight] = name.split(' ');
  const file = require.resolve(
    `@fontsource/${family}/files/${family}-latin-${weight}-normal.woff2`,
  );
  return openFont(readFileSync(file), name);
}

/** A counter of a letter: where its designer bridged it, and where others do. In cap heights. */
export interface CounterOf {
  readonly letter: string;
  readonly designers: readonly Laid[];
  readonly ours: readonly Laid[];
  readonly general: readonly Laid[];
  readonly random: readonly Laid[];
}

/** A bridge: its middle, and which way it runs, in radians; either way round is the same. */
interface Laid extends Point {
  readonly angle: number;
}

/** The cap height that letters are bridged at, in mm, with a hot tip's limits. */
const CAP_MM = 40;
/** Pixels a cap height of a drawing in which letters are compared, and by how many an edge may be drawn otherwise. */
const PX = 120;
const EDGE_PX = 2;
/** What a stencil version lacks and is less than this, in squares of the cap height, is no cut. */
const LEAST_CUT = 0.0008;
/** A cut so near a counter opens it, in cap heights: beyond the edge that was left out on both sides. */
const TOUCHES = 0.03;
/** Where letters stand in a drawing: from the left, and the baseline from the top, in cap heights. */
const LEFT = 0.25;
const DOWN = 1.4;

/** @param how whether the general stage is asked, too: it takes most of the time */
export async function countersOf(
  [plain, stencil]: readonly [string, string],
  how: 'alone' | 'beside the general stage',
): Promise<readonly CounterOf[]> {
  const [open, cut] = await Promise.all([openPackaged(plain), openPackaged(stencil)]);
  const random = seededRandom(1);
  return [...LETTERS].flatMap((letter) => {
    const regions = regionsOf(open, letter);
    if (regions.every(({ holes }) => holes.length === 0)) return [];
    const laid = ours(regions);
    const theirs = cutsOf(regions, regionsOf(cut, letter));
    const general = how === 'alone' ? [] : generalBridges(regions);
    return regions.flatMap(({ holes }) =>
      holes.map((hole): CounterOf => {
        const own = laid.filter(({ from, to }) => isAt(hole, [from, to])).map(laidAs);
        return {
          letter,
          designers: theirs
            .filter(({ places }) => places.some((place) => offLoop(hole, place) < TOUCHES))
            .map(({ at, angle }) => ({ ...at, angle })),
          ours: own,
          general: general.filter(({ from, to }) => isAt(hole, [from, to])).map(laidAs),
          random: Array.from({ length: Math.max(1, own.length) }, () =>
            atRandom(hole, regions, random),
          ),
        };
      }),
    );
  });
}

/** A letter's ink in cap heights. */
function regionsOf(face: Font, letter: string): Region[] {
  const [glyph] = face.shape(letter, { start: 0, end: letter.length, leftward: false });
  const scaled = (loop: Float64Array): Float64Array => loop.map((value) => value / face.capHeight);
  return inkOf(face, glyph.id).regions.map(({ outer, holes }) => ({
    outer: scaled(outer),
    holes: holes.map(scaled),
  }));
}

const job = completeJob({});

function ours(regions: readonly Region[]) {
  return counterBridges(regions, {
    axis: 0,
    width: job.bridgeWidth / CAP_MM,
    opening: job.narrowestOpening / CAP_MM,
    smallCounter: (2 * job.smallestIsland) / CAP_MM ** 2,
    largeCounter: job.twoTiesFrom / CAP_MM ** 2,
  });
}

/**
 * What the stencil version lacks of the plain one, in a drawing of both: by parts, without what is only an edge that was
 * drawn a little otherwise.
 */
function cutsOf(plain: readonly Region[], stencil: readonly Region[]) {
  const [a, b] = [plain, stencil].map((regions) => drawn(regions));
  const { width, height } = a;
  const left = new Uint8Array(a.data.length);
  for (let i = 0; i < left.length; i++) {
    if (a.data[i] === 1 && b.data[i] === 0)
      left[i] = Number(!isNear(b, i % width, Math.floor(i / width)));
  }
  const parts = labelRegions({ width, height, data: left }, 1, 8);
  return Array.from({ length: parts.count }, (_, k) => k + 1)
    .filter((part) => parts.areas[part] > LEAST_CUT * PX ** 2)
    .map((part) => {
      const places: Point[] = [];
      parts.labels.forEach((label, i) => {
        if (label !== part) return;
        places.push({
          x: ((i % width) + 0.5) / PX - LEFT,
          y: (Math.floor(i / width) + 0.5) / PX - DOWN,
        });
      });
      const mean = (axis: 'x' | 'y'): number =>
        places.reduce((sum, place) => sum + place[axis], 0) / places.length;
      const at = { x: mean('x'), y: mean('y') };
      return { places, at, angle: angleOf(at, plain, stencil) };
    });
}

/** How far from a cut's middle its sides are looked for, and how far off the plain letter's edge, in cap heights. */
const SIDES = 0.14;
const OFF_EDGE = 0.02;

/** Which way a cut runs: that of its sides, which lie in the plain letter's ink. */
function angleOf(at: Point, plain: readonly Region[], stencil: readonly Region[]): number {
  const loops = (regions: readonly Region[]): Float64Array[] =>
    regions.flatMap(({ outer, holes }) => [outer, ...holes]);
  const edges = loops(plain);
  // Directions that are the same either way round are doubled before they are added up.
  let [cos, sin] = [0, 0];
  for (const loop of loops(stencil)) {
    for (let i = 0; i < loop.length; i += 2) {
      const j = (i + 2) % loop.length;
      const [dx, dy] = [loop[j] - loop[i], loop[j + 1] - loop[i + 1]];
      const middle = { x: loop[i] + dx / 2, y: loop[i + 1] + dy / 2 };
      const isSide =
        Math.hypot(middle.x - at.x, middle.y - at.y) < SIDES &&
        edges.every((edge) => offLoop(edge, middle) > OFF_EDGE);
      if (!isSide) continue;
      const length = Math.hypot(dx, dy);
      cos += length * Math.cos(2 * Math.atan2(dy, dx));
      sin += length * Math.sin(2 * Math.atan2(dy, dx));
    }
  }
  return Math.atan2(sin, cos) / 2;
}

function drawn(regions: readonly Region[]): Bitmap {
  const shapes = regions.map(({ outer, holes }) => ({
    outer: toOutline(outer, LEFT * CAP_MM),
    holes: holes.map((hole) => toOutline(hole, LEFT * CAP_MM)),
  }));
  return rasterise(shapes, 2 * PX, 2.2 * PX, PX / CAP_MM);
}

/** Whether there is ink as near as an edge may have been drawn otherwise. */
function isNear({ width, data }: Bitmap, x: number, y: number): boolean {
  for (let dy = -EDGE_PX; dy <= EDGE_PX; dy++) {
    for (let dx = -EDGE_PX; dx <= EDGE_PX; dx++) {
      if (data[(y + dy) * width + x + dx] === 1) return true;
    }
  }
  return false;
}

function centroid(loop: Float64Array): Point {
  let [x, y, twice] = [0, 0, 0];
  for (let i = 0, j = loop.length - 2; i < loop.length; j = i, i += 2) {
    const cross = loop[j] * loop[i + 1] - loop[i] * loop[j + 1];
    twice += cross;
    x += (loop[i] + loop[j]) * cross;
    y += (loop[i + 1] + loop[j + 1]) * cross;
  }
  return { x: x / (3 * twice), y: y / (3 * twice) };
}

const laidAs = ({ from, to }: { readonly from: Point; readonly to: Point }): Laid => ({
  x: (from.x + to.x) / 2,
  y: (from.y + to.y) / 2,
  angle: Math.atan2(to.y - from.y, to.x - from.x),
});

function offLoop(loop: Float64Array, { x, y }: Point): number {
  let least = Infinity;
  for (let i = 0; i < loop.length; i += 2) {
    const j = (i + 2) % loop.length;
    const [dx, dy] = [loop[j] - loop[i], loop[j + 1] - loop[i + 1]];
    const t = ((x - loop[i]) * dx + (y - loop[i + 1]) * dy) / (dx * dx + dy * dy || 1);
    const s = Math.max(0, Math.min(1, t));
    least = Math.min(least, Math.hypot(loop[i] + s * dx - x, loop[i + 1] + s * dy - y));
  }
  return least;
}

/** Whether a bridge with these ends is a counter's: one of them lies in it, or on its edge. */
function isAt(hole: Float64Array, ends: readonly Point[]): boolean {
  return ends.some((end) => isInside(hole, end.x, end.y) || offLoop(hole, end) < 2 * TOUCHES);
}

function generalBridges(regions: readonly Region[]) {
  const shapes: Shape[] = regions.map(({ outer, holes }) => ({
    outer: toOutline(outer, LEFT * CAP_MM),
    holes: holes.map((hole) => toOutline(hole, LEFT * CAP_MM)),
  }));
  const side = 3 * CAP_MM;
  const { bridges } = bridge(
    { shapes },
    { sheet: { widthMm: side, heightMm: side }, pixelsPerMm: 10 },
    job,
  );
  const back = ({ x, y }: Point): Point => ({
    x: x / CAP_MM - LEFT,
    y: y / CAP_MM - DOWN,
  });
  return bridges.map(({ from, to }) => ({ from: back(from), to: back(to) }));
}

function toOutline(loop: Float64Array, left: number): Outline {
  const count = loop.length / 2;
  const coords = new Float64Array(6 * count);
  const at = (i: number, k: number): number =>
    CAP_MM * (loop[2 * (i % count) + k] + (k === 1 ? DOWN : 0)) + (k === 0 ? left : 0);
  for (let i = 0; i < count; i++) {
    for (const k of [0, 1]) {
      coords[6 * i + k] = at(i, k);
      coords[6 * i + 2 + k] = at(i, k) + (at(i + 1, k) - at(i, k)) / 3;
      coords[6 * i + 4 + k] = at(i + 1, k) + (at(i, k) - at(i + 1, k)) / 3;
    }
  }
  return { coords, straight: new Uint8Array(count).fill(1), corner: new Uint8Array(count) };
}

/** A place on the stroke round a counter, in a direction drawn at random from its middle. */
function atRandom(hole: Float64Array, regions: readonly Region[], random: () => number): Laid {
  const from = centroid(hole);
  const angle = 2 * Math.PI * random();
  const [dx, dy] = [Math.cos(angle), Math.sin(angle)];
  const loops = regions.flatMap(({ outer, holes }) => [outer, ...holes]);
  const isInk = (r: number): boolean =>
    loops.filter((loop) => isInside(loop, from.x + r * dx, from.y + r * dy)).length % 2 === 1;
  let start = 0;
  while (!isInk(start) && start < 2) start += 0.005;
  let end = start;
  while (isInk(end) && end < 3) end += 0.005;
  const r = (start + end) / 2;
  return { x: from.x + r * dx, y: from.y + r * dy, angle };
}

/** How near a designer's bridge has to lie, in cap heights; and how near it lies when it is meant to be the same. */
export const NEAR = 0.15;
export const SAME = 0.05;
/** And how much its direction may differ, in radians: 10°. */
export const SAME_WAY = (10 / 180) * Math.PI;

export type Way = 'ours' | 'general' | 'random';

/** Of counters that the designer bridged: the share that has one of some bridges near one of the designer's. */
export function shareNear(counters: readonly CounterOf[], way: Way, near = NEAR): number {
  const bridged = counters.filter(({ designers }) => designers.length > 0);
  return bridged.filter((counter) => countNear(counter, way, near) > 0).length / bridged.length;
}

/** Of the designers' bridges: the share that has one of some bridges near it. */
export function shareOfBridges(
  counters: readonly CounterOf[],
  way: Way,
  near = NEAR,
  turn = Infinity,
): number {
  const all = counters.reduce((sum, { designers }) => sum + designers.length, 0);
  return counters.reduce((sum, counter) => sum + countNear(counter, way, near, turn), 0) / all;
}

function countNear(counter: CounterOf, way: Way, near: number, turn = Infinity): number {
  return counter.designers.filter((at) =>
    counter[way].some(
      ({ x, y, angle }) =>
        Math.hypot(at.x - x, at.y - y) <= near && between(at.angle, angle) <= turn,
    ),
  ).length;
}

/** Between two directions that are the same either way round, in radians. */
function between(a: number, b: number): number {
  const off = Math.abs(a - b) % Math.PI;
  return Math.min(off, Math.PI - off);
}

/** Of counters that the designer bridged: the share with as many bridges, each of the designer's in the same place. */
export function shareAlike(counters: readonly CounterOf[], way: Way): number {
  const bridged = counters.filter(({ designers }) => designers.length > 0);
  const alike = bridged.filter(
    (counter) =>
      counter[way].length === counter.designers.length &&
      countNear(counter, way, SAME, SAME_WAY) === counter.designers.length,
  );
  return alike.length / bridged.length;
}
