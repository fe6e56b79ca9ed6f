import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { cubicOf, pointAt } from '../../src/geometry/cubic.js';
import { flatten } from '../../src/geometry/flatten.js';
import { findNecks } from '../../src/geometry/necks.js';
import { rasterise } from '../../src/geometry/rasterise.js';
import { difference, union } from '../../src/geometry/boolean-operations.js';
import { signedArea } from '../../src/geometry/signed-area.js';
import type { Outline, Point, Shape } from '../../src/geometry/shape.js';
import { completeJob } from '../../src/settings/job.js';
import { squaredDistance } from '../../src/raster/distance.js';
import { labelRegions } from '../../src/raster/labels.js';
import type { Bitmap } from '../../src/raster/raster.js';
import { bridge, type Bridge, type Bridged } from '../../src/stages/bridge/bridge.js';
import { bridgeHeuristics, forSketch } from '../../src/stages/bridge/heuristics.js';
import { above } from '../support/bitmaps.js';
import { circle, polygonOutline, rectangle, ring, shapeOf } from '../support/openings.js';
import { sharpestJoint, tightestBend, tightestWithin } from '../support/outlines.js';

const PIXELS_PER_MM = 10;
const sheet = { widthMm: 60, heightMm: 60 };
const job = completeJob({ card: '60x60mm' });
/** One bridge an island, with plain ends. */
const plain = completeJob({ card: '60x60mm', bridgeAmount: 'fewer', flare: 0 });
const lay = (shapes: readonly Shape[], settings = plain): Bridged =>
  bridge({ shapes }, { sheet, pixelsPerMm: PIXELS_PER_MM }, settings);
const draw = (shapes: readonly Shape[]): Bitmap => rasterise(shapes, 600, 600, PIXELS_PER_MM);

/** What is left of a bump beyond a slight waist is no part of its own, in px. */
const BUMP_PX = 25;

/** The parts that the film is in after it was eroded by just under half the narrowest strip. */
function heldParts(bitmap: Bitmap, narrowestStrip: number): number {
  const radius = (0.5 * narrowestStrip - 0.1) * PIXELS_PER_MM;
  const core = above(squaredDistance(bitmap, 1, radius + 1), bitmap, radius * radius);
  return labelRegions(core, 1, 8).areas.filter((area) => area >= BUMP_PX).length;
}

const areaOf = ({ outer, holes }: Shape): number =>
  [outer, ...holes].reduce(
    (sum, outline, i) => sum + (i === 0 ? 1 : -1) * Math.abs(signedArea(flatten(outline, 0.002))),
    0,
  );
const totalArea = (shapes: readonly Shape[]): number =>
  shapes.reduce((sum, shape) => sum + areaOf(shape), 0);

const turn = (a: Point, b: Point, c: Point): number =>
  (b.x - a.x) * (c.y - a.y) - (b.y - a.y) * (c.x - a.x);
const cross = (a: Bridge, b: Bridge): boolean =>
  turn(a.from, a.to, b.from) * turn(a.from, a.to, b.to) < 0 &&
  turn(b.from, b.to, a.from) * turn(b.from, b.to, a.to) < 0;

const crossingAt = (angle: number, { from, to }: Bridge, x: number, y: number): boolean => {
  const seen = Math.atan2((from.y + to.y) / 2 - y, (from.x + to.x) / 2 - x);
  return Math.abs(Math.atan2(Math.sin(seen - angle), Math.cos(seen - angle))) < Math.PI / 3;
};

describe('where openings touch by a corner', () => {
  // Two right angles round a square of film; they touch at two of its corners, so that nothing holds it.
  const upper = [20, 20, 40, 20, 40, 30, 30, 30, 30, 40, 20, 40];
  const lower = [40, 30, 50, 30, 50, 50, 30, 50, 30, 40, 40, 40];
  const angles = [upper, lower].map((points) => ({ outer: polygonOutline(points), holes: [] }));

  it('what ties the film there, and what closes the point beside it, are listed like any bridge', () => {
    const { bridges, openings } = lay(angles);
    expect(labelRegions(draw(angles), 0, 4).count).toBe(2);
    expect(labelRegions(draw(openings), 0, 4).count).toBe(1);
    const middles = bridges.map(({ from, to }) => [(from.x + to.x) / 2, (from.y + to.y) / 2]);
    const rounded = middles.map((middle) => middle.map(Math.round));
    expect(rounded.sort(([a], [b]) => a - b)).toEqual([
      [30, 40],
      [40, 30],
    ]);
  });
});

describe('a tongue of film', () => {
  // 30 mm of film, 3 mm wide, that juts out from the left into an opening of 40 × 14 mm.
  const around = [10, 20, 50, 20, 50, 34, 10, 34, 10, 28.5, 40, 28.5, 40, 25.5, 10, 25.5];
  const tongue: Shape = { outer: polygonOutline(around), holes: [] };

  it('is tied near its end, by no more than one bridge', () => {
    const { bridges, islands } = lay([tongue], job);
    expect(islands).toBe(0);
    expect(bridges).toHaveLength(1);
    const { from, to } = bridges[0];
    expect((from.x + to.x) / 2).toBeGreaterThan(25);
    expect(Math.hypot(to.x - from.x, to.y - from.y)).toBeLessThan(11);
  });

  it.each([
    ['that is shorter than was said', { tongueFrom: 35 }],
    ['where few bridges are wanted', { bridgeAmount: 'fewer' as const }],
    ['where a person lets no bridge be', { bridgeFree: [[[8, 8], [52, 8], [52, 50], [8, 50]]] as const }], // prettier-ignore
  ])('is left %s', (_, given) => {
    expect(lay([tongue], { ...job, ...given }).bridges).toEqual([]);
  });

  it('is left when its bridge is taken away, and nothing comes in its stead', () => {
    const { from, to } = lay([tongue], job).bridges[0];
    const at = [(from.x + to.x) / 2, (from.y + to.y) / 2] as const;
    const bridgeEdits = [{ do: 'remove', at }] as const;
    expect(lay([tongue], { ...job, bridgeEdits }).bridges).toEqual([]);
  });
});

describe('what is too narrow to cut', () => {
  // Two rooms with a channel of 1 mm between them.
  const corners = [12, 20, 22, 20, 22, 26, 30, 26, 30, 20, 40, 20];
  const below = [40, 33, 30, 33, 30, 27, 22, 27, 22, 33, 12, 33];
  const rooms: Shape = { outer: polygonOutline([...corners, ...below]), holes: [] };

  it('is closed across a neck, so that two openings are left that can be cut', () => {
    const { bridges, openings } = lay([rooms]);
    expect(bridges).toHaveLength(1);
    expect(openings).toHaveLength(2);
    const { from, to } = bridges[0];
    // Square to the channel, from one side of it to the other.
    expect(Math.hypot(to.x - from.x, to.y - from.y)).toBeCloseTo(1, 0);
    expect(Math.abs(to.x - from.x)).toBeLessThan(0.3);
    expect(from.x).toBeGreaterThan(22);
    expect(from.x).toBeLessThan(30);
  });

  it('is closed across a neck round a bend, where film lies between the rooms', () => {
    // Two rooms side by side, and a channel of 0.8 mm that runs from one to the other round a strip of 2 mm.
    const strip = [20, 20, 20, 33, 22, 33, 22, 20];
    const around = [30, 20, 30, 30, 22.8, 30, 22.8, 33.8, 19.2, 33.8, 19.2, 30, 12, 30, 12, 20];
    const bent: Shape = { outer: polygonOutline([...strip, ...around]), holes: [] };
    const { bridges, openings } = lay([bent]);
    expect(openings).toHaveLength(2);
    expect(bridges).toHaveLength(1);
    const { from, to } = bridges[0];
    expect((from.x + to.x) / 2).toBeCloseTo(21, 0);
    expect((from.y + to.y) / 2).toBeCloseTo(33.4, 0);
    expect(Math.abs(to.y - from.y)).toBeCloseTo(0.8, 0);
  });

  it('stays open where a person lets no bridge be', () => {
    const bridgeFree = [[[8, 8], [50, 8], [50, 50], [8, 50]]] as const; // prettier-ignore
    expect(lay([rooms], { ...plain, bridgeFree }).openings).toHaveLength(1);
  });
});

describe('holds', () => {
  it('are on two sides of an island that is heavy', () => {
    const { bridges } = lay([ring(30, 30, 20, 14)], job);
    expect(bridges.length).toBeGreaterThanOrEqual(2);
    const angle = Math.atan2(bridges[0].from.y - 30, bridges[0].from.x - 30);
    expect(bridges.some((one) => crossingAt(angle + Math.PI, one, 30, 30))).toBe(true);
  });

  it('are one for a small island', () => {
    expect(lay([ring(30, 30, 7, 3)], job).bridges).toHaveLength(1);
  });

  it('are two for one of 50 mm², which would swing on a single one', () => {
    expect(lay([ring(30, 30, 8, 4)], job).bridges).toHaveLength(2);
  });

  it('let nothing heavy hang behind a single one', () => {
    // A row of three islands in a long opening, each near the next, the first near the edge.
    const holes = [20, 29, 38].map((x) => rectangle(x - 3.5, 26, 7, 8));
    const shapes = [{ outer: rectangle(13, 15, 34, 30), holes }];
    const limits = completeJob({ card: '60x60mm', twoTiesFrom: 60 });
    const { bridges } = lay(shapes, limits);
    for (const missing of bridges) {
      const left = bridges.filter((one) => one !== missing);
      const strips = left.map(({ from, to }) => strip(from, to, 2.4));
      const loops = shapes.flatMap(({ outer }) => [outer, ...holes]).map((o) => flatten(o));
      const after = difference(
        loops,
        union(strips).flatMap((r) => [r.outer, ...r.holes]),
      );
      const loose = after
        .flatMap((region) => region.holes)
        .map((hole) => Math.abs(signedArea(hole)));
      expect(Math.max(0, ...loose)).toBeLessThan(60);
    }
  });

  it('are fewer or more as asked', () => {
    const shapes = [ring(30, 30, 22, 16), ring(30, 30, 8, 3)];
    const counts = (['fewer', 'usual', 'more'] as const).map(
      (bridgeAmount) => lay(shapes, completeJob({ card: '60x60mm', bridgeAmount })).bridges.length,
    );
    expect(counts[0]).toBe(2);
    expect(counts[1]).toBeGreaterThan(counts[0]);
    expect(counts[2]).toBeGreaterThan(counts[1]);
  });

  it('reach at most two others deep, where there is a place for it', () => {
    // A stair of islands along the edge of one opening: each could hang on the one before, or on the edge.
    const holes = [0, 1, 2, 3, 4].map((i) => rectangle(12 + 7 * i, 22 - 1.4 * i, 5, 5));
    const { bridges } = lay([{ outer: rectangle(9, 9, 42, 40), holes }], job);
    const depths = depthsOf(holes, 5, bridges);
    expect(depths).toHaveLength(6);
    expect(Math.max(...depths)).toBeLessThanOrEqual(3);
  });

  it('reach no deeper where only what is more than one too deep has another place', () => {
    // Five islands in a row across a wide opening: the fourth is near none but its neighbours, the fifth the far edge.
    const holes = [0, 1, 2, 3, 4].map((i) => rectangle(9.2 + 8 * i, 27.5, 5, 5));
    const limits = completeJob({ card: '60x60mm', twoTiesFrom: 2000, tongueFrom: 60 });
    const { bridges } = lay([{ outer: rectangle(6, 6, 48, 48), holes }], limits);
    const depths = depthsOf(holes, 5, bridges);
    expect(depths).toHaveLength(6);
    expect(Math.max(...depths)).toBeLessThanOrEqual(3);
  });
});

/** How many bridges square islands are from the film that holds everything, at least; that one's own 0 first. */
function depthsOf(
  islands: readonly Outline[],
  sideMm: number,
  bridges: readonly Bridge[],
): readonly number[] {
  const part = ({ x, y }: Point): number =>
    islands.findIndex(({ coords: [left, top] }) =>
      [x - left, y - top].every((off) => off > -0.1 && off < sideMm + 0.1),
    );
  const depth = new Map([[-1, 0]]);
  for (let round = 0; round <= islands.length; round++) {
    for (const { from, to } of bridges) {
      const ends = [part(from), part(to)];
      for (const [a, b] of [ends, ends.toReversed()]) {
        const known = depth.get(a);
        if (known !== undefined) depth.set(b, Math.min(depth.get(b) ?? Infinity, known + 1));
      }
    }
  }
  return [...depth.values()];
}

describe('a turn too tight', () => {
  it('is no curve any more once a strip is laid over its opening', () => {
    // A square round a disc; one of its corners is an arc of radius 0.4 mm.
    const square = polygonOutline([49.6, 10, 50, 10.4, 50, 50, 10, 50, 10, 10]);
    square.coords.set([49.82, 10, 50, 10.18], 2);
    const outer = {
      ...square,
      straight: Uint8Array.of(0, 1, 1, 1, 1),
      corner: Uint8Array.of(0, 0, 1, 1, 1),
    };
    expect(tightestWithin(outer)).toBeGreaterThan(2);
    const [cut] = lay([{ outer, holes: [circle(28, 30, 12)] }]).openings;
    const least = 0.9 * plain.tightestTurn;
    expect(tightestWithin(cut.outer)).toBeLessThan(1.02 / least);
    expect(sharpestJoint(cut.outer)).toBeLessThan(10);
  });
});

/** The angle by which an outline turns at the start of a curve, in radians. */
function turnInto(outline: Outline, i: number): number {
  const before = cubicOf(outline, (i || outline.straight.length) - 1);
  const [ax, ay] = pointAt(before, 0.99);
  const [x, y] = pointAt(before, 1);
  const [bx, by] = pointAt(cubicOf(outline, i), 0.01);
  const [ux, uy, vx, vy] = [x - ax, y - ay, bx - x, by - y];
  return Math.abs(Math.atan2(ux * vy - uy * vx, ux * vx + uy * vy));
}

describe('a flared end', () => {
  const wide = [ring(30, 30, 20, 10)];

  it('runs smoothly into the film where an arc has room: no corner is left', () => {
    const flared = lay(wide, completeJob({ card: '60x60mm', bridgeAmount: 'fewer' }));
    const corners = flared.openings.flatMap(({ outer }) => [...outer.corner]);
    expect(corners).not.toContain(1);
    const least = 1.5 - 0.02;
    const { outer } = flared.openings[0];
    const bends = Array.from(outer.straight, (isStraight, i) =>
      isStraight ? 0 : tightestBend(cubicOf(outer, i), 16),
    );
    const tightest = Math.max(...bends);
    expect(tightest).toBeLessThan(1 / least);
    expect(tightest).toBeGreaterThan(1 / 1.6);
  });

  it('takes about a square less a quarter circle from each corner', () => {
    const flat = lay(wide);
    const flared = lay(wide, completeJob({ card: '60x60mm', bridgeAmount: 'fewer' }));
    const given = totalArea(flat.openings) - totalArea(flared.openings);
    const straight = 4 * (1 - Math.PI / 4) * 1.5 ** 2;
    expect(given / straight).toBeGreaterThan(0.9);
    expect(given / straight).toBeLessThan(1.1);
  });

  it('leaves no right angle where an opening is too narrow for an arc', () => {
    const narrow = [ring(30, 30, 10, 8.2)];
    const turns = (settings: Parameters<typeof completeJob>[0]): number => {
      const [{ outer }] = lay(narrow, completeJob({ card: '60x60mm', ...settings })).openings;
      const angles = Array.from(outer.corner, (flag, i) => (flag ? turnInto(outer, i) : 0));
      return Math.max(...angles);
    };
    expect(turns({ bridgeAmount: 'fewer', flare: 0 })).toBeGreaterThan(1.4);
    expect(turns({ bridgeAmount: 'fewer' })).toBeLessThan(1.2);
  });
});

describe('bridge', () => {
  it('leaves openings without islands as they are', () => {
    const shapes = [
      { outer: circle(20, 20, 8), holes: [] },
      { outer: rectangle(32, 30, 12, 9), holes: [] },
    ];
    const { openings, ...rest } = lay(shapes);
    expect(rest).toEqual({
      bridges: [],
      islands: 0,
      openingsDropped: 0,
      islandsDropped: 0,
      islandsDear: 0,
      laidOver: shapes,
      shareChanged: 0,
      removed: [],
      unusedEdits: [],
    });
    expect(openings).toHaveLength(2);
    openings.forEach((opening, i) => expect(opening).toBe(shapes[i]));
  });

  it('passes on the openings that no bridge touches, the very same', () => {
    const untouched = { outer: circle(48, 48, 4), holes: [] };
    const { openings } = lay([ring(25, 25, 15, 8), untouched]);
    expect(openings).toContain(untouched);
  });

  it('cuts a ring by a strip of the width asked for', () => {
    const before = ring(30, 30, 20, 10);
    const { openings, bridges } = lay([before]);
    expect(openings).toHaveLength(1);
    expect(openings[0].holes).toHaveLength(0);
    expect(bridges[0].widthMm).toBe(job.bridgeWidth);
    // The strip's length between the circles at a distance y from its middle line: √(400 − y²) − √(100 − y²).
    const part = (r: number, y: number): number =>
      (y * Math.sqrt(r * r - y * y) + r * r * Math.asin(y / r)) / 2;
    const half = job.bridgeWidth / 2;
    expect(areaOf(before) - areaOf(openings[0])).toBeCloseTo(
      2 * (part(20, half) - part(10, half)),
      0,
    );
    const corners = openings[0].outer.corner.reduce((sum, corner) => sum + corner, 0);
    expect(corners).toBe(4);
  });

  it('reaches islands inside islands', () => {
    const { islands, bridges, openings } = lay([
      ring(30, 30, 22, 19),
      ring(30, 30, 15, 12),
      ring(30, 30, 8, 4),
    ]);
    expect(islands).toBe(3);
    expect(bridges).toHaveLength(3);
    expect(openings.every(({ holes }) => holes.length === 0)).toBe(true);
    expect(labelRegions(draw(openings), 0, 4).count).toBe(1);
  });

  it('lays a strip along a neck of film that is too narrow', () => {
    const neck = polygonOutline([
      12, 12, 48, 12, 48, 48, 30.5, 48, 30.5, 34, 36, 34, 36, 22, 24, 22, 24, 34, 29.5, 34, 29.5,
      48, 12, 48,
    ]);
    const shapes = [{ outer: neck, holes: [] }];
    expect(heldParts(draw(shapes), job.narrowestStrip)).toBe(2);
    const { openings, bridges, islands } = lay(shapes);
    expect(islands).toBe(0);
    expect(bridges).toHaveLength(0);
    expect(totalArea(openings)).toBeLessThan(totalArea(shapes) - 5);
    expect(heldParts(draw(openings), job.narrowestStrip)).toBe(1);
  });

  it('cuts away an island that has no place wide enough to hold, and keeps what is inside', () => {
    const thin = [ring(30, 30, 22, 16), ring(30, 30, 15.2, 8)];
    const { openings, islands, islandsDropped, bridges } = lay(thin);
    expect(islands).toBe(2);
    expect(islandsDropped).toBe(1);
    expect(bridges).toHaveLength(1);
    const merged = totalArea([{ outer: circle(30, 30, 22), holes: [circle(30, 30, 8)] }]);
    expect(totalArea(openings)).toBeGreaterThan(merged - 14 * job.bridgeWidth - 2);
  });

  it('leaves out openings that are too small or too narrow to cut, and says how many', () => {
    const small = { outer: circle(20, 20, 0.8), holes: [] };
    const narrow = { outer: rectangle(20, 40, 20, 0.9), holes: [] };
    const fine = { outer: rectangle(20, 30, 20, 1.6), holes: [] };
    const { openings, openingsDropped } = lay([small, narrow, fine]);
    expect(openings).toEqual([fine]);
    expect(openingsDropped).toBe(2);
  });

  it('does not lay a bridge where it leaves a sliver of opening beside it, if there is another place', () => {
    // A square island whose gap is shortest at its right, beside a wall of film that stands 3 mm off the bridge.
    const outer = polygonOutline([10, 10, 50, 10, 50, 26, 41, 26, 41, 28, 50, 28, 50, 50, 10, 50]);
    const { openings, bridges } = lay([{ outer, holes: [rectangle(20, 29, 21, 12)] }]);
    expect(bridges).toHaveLength(1);
    expect(openings.length).toBe(1);
  });

  it('numbers bridges from the top left, in reading order', () => {
    const { bridges } = lay([ring(44, 16, 8, 4), ring(16, 44, 8, 4), ring(16, 16, 8, 4)]);
    const heights = bridges.map(({ from, to }) => from.y + to.y);
    expect(heights).toEqual([...heights].sort((a, b) => a - b));
  });
});

/** Loops of random drawings: blobs, rings and scribbles. */
type Drawing = readonly { readonly kind: string; readonly loop: Float64Array }[];

const disc = (x: number, y: number, radius: number, wobble: readonly number[]): Float64Array =>
  Float64Array.from(
    Array.from({ length: 40 }, (_, i) => {
      const angle = (2 * Math.PI * i) / 40;
      const r =
        radius * (1 + wobble.reduce((sum, w, k) => sum + w * Math.sin((k + 2) * angle + k), 0));
      return [x + r * Math.cos(angle), y + r * Math.sin(angle)];
    }).flat(),
  );

const strip = (from: Point, to: Point, width: number): Float64Array => {
  const length = Math.hypot(to.x - from.x, to.y - from.y) || 1;
  const [ux, uy] = [(to.x - from.x) / length, (to.y - from.y) / length];
  return stroke(from.x - ux, from.y - uy, to.x + ux, to.y + uy, width);
};

/** A line of some width: a quadrilateral. */
function stroke(x0: number, y0: number, x1: number, y1: number, width: number): Float64Array {
  const length = Math.hypot(x1 - x0, y1 - y0) || 1;
  const [nx, ny] = [((y0 - y1) / length) * (width / 2), ((x1 - x0) / length) * (width / 2)];
  return Float64Array.of(x0 + nx, y0 + ny, x1 + nx, y1 + ny, x1 - nx, y1 - ny, x0 - nx, y0 - ny);
}

const place = fc.double({ min: 14, max: 46, noNaN: true });
const wobble = fc.array(fc.double({ min: -0.08, max: 0.08, noNaN: true }), {
  minLength: 3,
  maxLength: 3,
});
const blob = fc
  .tuple(place, place, fc.double({ min: 1, max: 6, noNaN: true }), wobble)
  .map(([x, y, radius, w]) => [{ kind: 'blob', loop: disc(x, y, radius, w) }]);
const hole = fc
  .tuple(place, place, fc.double({ min: 0.7, max: 5, noNaN: true }), wobble)
  .map(([x, y, radius, w]) => [{ kind: 'film', loop: disc(x, y, radius, w) }]);
const scribble = fc
  .tuple(
    fc.array(fc.tuple(place, place), { minLength: 2, maxLength: 6 }),
    fc.double({ min: 1.2, max: 3, noNaN: true }),
  )
  .map(([points, width]) =>
    points.slice(1).map(([x, y], i) => ({ kind: 'line', loop: stroke(...points[i], x, y, width) })),
  );
const drawings: fc.Arbitrary<Drawing> = fc
  .array(fc.oneof(blob, hole, scribble, blob), { minLength: 1, maxLength: 14 })
  .map((parts) => parts.flat());

function openingsOf(drawing: Drawing): Shape[] {
  const dark = drawing.filter(({ kind }) => kind !== 'film').map(({ loop }) => loop);
  const light = drawing.filter(({ kind }) => kind === 'film').map(({ loop }) => loop);
  const flat = (loops: readonly Float64Array[]): Float64Array[] =>
    union(loops).flatMap(({ outer, holes }) => [outer, ...holes]);
  return difference(flat(dark), flat(light)).map(shapeOf);
}

describe('of random drawings', () => {
  it.each([
    ['hot tip', job],
    ['craft knife', completeJob({ card: '60x60mm', tool: 'craft-knife' })],
  ])(
    'leaves film in one piece that holds, cuttable openings and a whole margin (%s)',
    (_, limits) => {
      fc.assert(
        fc.property(drawings, (drawing) => {
          const shapes = openingsOf(drawing);
          const { openings, bridges } = lay(shapes, limits);
          const bitmap = draw(openings);

          expect(heldParts(bitmap, limits.narrowestStrip)).toBe(1);
          expect(openings.flatMap(({ holes }) => holes)).toEqual([]);

          const edges = openings.flatMap(({ outer }) => [...outer.coords]);
          expect(Math.min(30, ...edges)).toBeGreaterThan(limits.margin);
          expect(Math.max(30, ...edges)).toBeLessThan(60 - limits.margin);
          const smallest = Math.min(Infinity, ...openings.map(areaOf));
          expect(smallest).toBeGreaterThanOrEqual(limits.smallestOpening - 0.01);

          bridges.forEach((one, i) => {
            for (const other of bridges.slice(0, i)) expect(cross(one, other)).toBe(false);
          });
          expect(bridges.every(({ widthMm }) => widthMm === limits.bridgeWidth)).toBe(true);
          // What was drawn from the curves is what the areas say, to the pixels along the edges.
          const pixels = bitmap.data.reduce((sum, value) => sum + value, 0) / PIXELS_PER_MM ** 2;
          const area = totalArea(openings);
          expect(Math.abs(pixels - area)).toBeLessThan(0.02 * area + 1);
        }),
        { numRuns: 30, endOnFailure: true },
      );
    },
  );

  it('makes the same of the same', () => {
    fc.assert(
      fc.property(drawings, (drawing) => {
        expect(lay(openingsOf(drawing), job)).toEqual(lay(openingsOf(drawing), job));
      }),
      { numRuns: 5 },
    );
  });
});

describe('the edge of the sheet', () => {
  it('is an edge of the film: what hangs together along it by 1 mm alone gets a strip that holds', () => {
    // An opening that parts the sheet in two, but for 1 mm above and below.
    const parting = { outer: rectangle(26, 1, 8, 58), holes: [] };
    const on = { sheet, pixelsPerMm: PIXELS_PER_MM };
    const limits = { film: plain.narrowestStrip, opening: plain.narrowestOpening };
    const strips = (openings: readonly Shape[]) =>
      findNecks(openings, sheet, limits).filter(({ region }) => region === 'film');
    expect(strips([parting])).toHaveLength(2);
    expect(
      strips(bridge({ shapes: [parting] }, on, plain, forSketch(bridgeHeuristics)).openings),
    ).toHaveLength(1);
    expect(strips(lay([parting]).openings)).toEqual([]);
  });
});

describe('what is a little too narrow', () => {
  const limits = { film: plain.narrowestStrip, opening: plain.narrowestOpening };
  const shortIn = (openings: readonly Shape[]) =>
    findNecks(openings, sheet, limits).filter(
      ({ region, widthMm }) => widthMm < limits[region] - 0.02,
    );
  const pair = (stripMm: number): Shape[] =>
    [-1, 1].map((side) => ({ outer: circle(30 + side * (7 + stripMm / 2), 30, 7), holes: [] }));
  const waist = (neckMm: number): Shape => {
    const [top, bottom] = [30 - neckMm / 2, 30 + neckMm / 2];
    const upper = [15, 20, 27, 20, 29, top, 31, top, 33, 20, 45, 20];
    const lower = [45, 40, 33, 40, 31, bottom, 29, bottom, 27, 40, 15, 40];
    return { outer: polygonOutline([...upper, ...lower]), holes: [] };
  };

  it.each([1.5, 1.55])('is made wide enough: film of %f mm between two openings', (stripMm) => {
    expect(shortIn(pair(stripMm))).toHaveLength(1);
    const { openings, bridges } = lay(pair(stripMm));
    expect(shortIn(openings)).toEqual([]);
    expect(bridges).toEqual([]);
    expect(openings.flatMap(({ outer }) => [...outer.corner])).not.toContain(1);
    // Only what lies near the strip has moved.
    const left = Math.min(...openings.flatMap(({ outer }) => [...flatten(outer)]));
    expect(left).toBeCloseTo(30 - 14 - stripMm / 2, 3);
  });

  it.each([1.37, 1.45])('is made wide enough: an opening’s waist of %f mm', (neckMm) => {
    expect(shortIn([waist(neckMm)])).toHaveLength(1);
    const { openings, bridges } = lay([waist(neckMm)]);
    expect(shortIn(openings)).toEqual([]);
    expect(bridges).toEqual([]);
    expect(openings).toHaveLength(1);
  });

  it('moves nothing into the margin', () => {
    const margin = 6;
    const along = pair(1.5).map(({ outer, holes }) => ({
      outer: {
        ...outer,
        coords: outer.coords.map((value, k) => (k % 2 === 1 ? value - 17 : value)),
      },
      holes,
    }));
    const { openings } = lay(along, { ...plain, margin });
    expect(shortIn(openings)).toEqual([]);
    const heights = openings.flatMap(({ outer }) =>
      [...flatten(outer)].filter((_, k) => k % 2 === 1),
    );
    expect(Math.min(...heights)).toBeGreaterThan(margin - 0.001);
  });

  it('stays in a sketch', () => {
    const on = { sheet, pixelsPerMm: PIXELS_PER_MM };
    const { openings } = bridge({ shapes: pair(1.5) }, on, plain, forSketch(bridgeHeuristics));
    expect(openings).toEqual(pair(1.5));
  });
});
