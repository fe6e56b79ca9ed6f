import { describe, expect, it } from 'vitest';
import { rasterise } from '../../src/geometry/rasterise.js';
import type { Point, Shape } from '../../src/geometry/shape.js';
import { completeJob } from '../../src/settings/job.js';
import { sideEffectOf } from '../../src/stages/bridge/side-effects.js';
import { erodeFilm } from '../../src/stages/bridge/eroded-film.js';
import { tieBetween } from '../../src/stages/bridge/tie.js';
import { withoutUncuttable } from '../../src/stages/bridge/uncuttable.js';
import { circle, polygonOutline, rectangle } from '../support/openings.js';

const PIXELS_PER_MM = 10;
const SIDE_MM = 60;
const job = completeJob({ card: `${SIDE_MM}x${SIDE_MM}mm` });

describe('an opening that can be cut', () => {
  /** A slit too narrow to cut, with a place in its middle that is so many mm across. */
  const slitWithPlace = (x: number, y: number, across: number): Shape => {
    const half = across / 2;
    return {
      outer: polygonOutline(
        [
          [-14, -0.3], [-half, -0.3], [-half, -half], [half, -half], [half, -0.3], [14, -0.3],
          [14, 0.3], [half, 0.3], [half, half], [-half, half], [-half, 0.3], [-14, 0.3],
        ].flatMap(([u, v]) => [x + u, y + v]), // prettier-ignore
      ),
      holes: [],
    };
  };
  const isKept = (shape: Shape): boolean =>
    withoutUncuttable([shape], PIXELS_PER_MM, job).length > 0;

  it.each([
    [20, 12],
    [41.3, 50.7],
  ])('has one place that is wide enough, wherever it lies: at %s × %s mm', (x, y) => {
    expect(isKept(slitWithPlace(x, y, job.narrowestOpening + 0.4))).toBe(true);
    expect(isKept(slitWithPlace(x, y, job.narrowestOpening - 0.4))).toBe(false);
  });

  it('is not filled by what stands in it', () => {
    const around = circle(30, 30, 6);
    expect(isKept({ outer: around, holes: [circle(30, 30, 6 - job.narrowestOpening - 0.3)] })).toBe(
      true,
    );
    expect(isKept({ outer: around, holes: [circle(30, 30, 6 - job.narrowestOpening + 0.4)] })).toBe(
      false,
    );
  });

  it('is large enough to pop out', () => {
    const side = Math.sqrt(job.smallestOpening);
    expect(isKept({ outer: rectangle(9, 9, side + 0.1, side + 0.1), holes: [] })).toBe(true);
    expect(isKept({ outer: rectangle(9, 9, side - 0.1, side - 0.1), holes: [] })).toBe(false);
  });
});

describe('what a strip leaves beside it', () => {
  /** The same drawing turned by quarters round the sheet's middle. */
  const turned = ({ x, y }: Point, quarters: number): Point => {
    const [u, v] = [x - SIDE_MM / 2, y - SIDE_MM / 2];
    const [c, s] = [
      [1, 0],
      [0, 1],
      [-1, 0],
      [0, -1],
    ][quarters];
    return { x: SIDE_MM / 2 + u * c - v * s, y: SIDE_MM / 2 + u * s + v * c };
  };
  /** What the strip from one place to another leaves of an opening, which is a polygon. */
  const left = (points: readonly Point[], from: Point, to: Point, quarters: number) => {
    const outer = polygonOutline(
      points.map((p) => turned(p, quarters)).flatMap(({ x, y }) => [x, y]),
    );
    const side = SIDE_MM * PIXELS_PER_MM;
    const film = erodeFilm(
      rasterise([{ outer, holes: [] }], side, side, PIXELS_PER_MM),
      PIXELS_PER_MM,
      job,
    );
    const [a, b] = [turned(from, quarters), turned(to, quarters)];
    return sideEffectOf(film, tieBetween(film, a, b, job.bridgeWidth, 'added', job), job, 0.8);
  };
  const corners = (...numbers: number[]): Point[] =>
    Array.from({ length: numbers.length / 2 }, (_, i) => ({
      x: numbers[2 * i],
      y: numbers[2 * i + 1],
    }));
  /** 40 mm long and 8 mm high, off the middle. */
  const long = corners(6, 16, 46, 16, 46, 24, 6, 24);
  const across = (x: number): [Point, Point] => [
    { x, y: 14.5 },
    { x, y: 25.5 },
  ];

  it.each([0, 1, 2, 3])(
    'is good in the middle of an opening, turned by %s quarters',
    (quarters) => {
      expect(left(long, ...across(24), quarters)).toBe('good');
    },
  );

  it.each([0, 1, 2, 3])(
    'is a neck where it leaves a bay behind a waist, turned by %s quarters',
    (quarters) => {
      // Two rooms of the opening hang together by a passage that the strip all but fills.
      const { bridgeWidth: width } = job;
      const passage = width + 0.2;
      const [x0, x1] = [26 - passage / 2, 26 + passage / 2];
      const waist = corners(
        6,
        10,
        46,
        10,
        46,
        20,
        x1,
        20,
        x1,
        32,
        46,
        32,
        46,
        42,
        6,
        42,
        6,
        32,
        x0,
        32,
        x0,
        20,
        6,
        20,
      );
      const [from, to] = [
        { x: x0 - 1.5, y: 26 },
        { x: x1 + 1.5, y: 26 },
      ];
      expect(left(waist, from, to, quarters)).toBe('good');
      const along = [
        { x: x0 + 0.2, y: 8.5 },
        { x: x0 + 0.2, y: 43.5 },
      ] as const;
      expect(left(waist, ...along, quarters)).toBe('neck');
    },
  );
});
