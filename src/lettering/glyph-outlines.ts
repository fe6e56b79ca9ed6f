import { distance, interpolated } from '../geometry/points.js';
import { writeLine } from '../geometry/outline.js';
import { mostKink, turnInto } from '../geometry/tight-turns.js';
import type { Outline, Point } from '../geometry/shape.js';

/** A piece of a glyph's path: M, L, Q, C or Z with its numbers in units of the font, y up. */
export interface PathPiece {
  readonly type: string;
  readonly values: readonly number[];
}

interface Curve {
  readonly points: readonly [Point, Point, Point];
  readonly straight: boolean;
}

/** Points nearer than this, in ems, are one: a hundredth of a usual unit. */
const SAME = 1e-5;

/**
 * A glyph's contours as outlines, in ems, y down. Quadratic curves become the cubic ones that are the same curve; where
 * a contour turns by more than a hand notices, a corner is marked.
 */
export function toOutlines(path: readonly PathPiece[], unitsPerEm: number): Outline[] {
  const outlines: Outline[] = [];
  let curves: Curve[] = [];
  let [start, pen]: [Point, Point] = [
    { x: 0, y: 0 },
    { x: 0, y: 0 },
  ];
  const close = (): void => {
    if (!isSamePoint(pen, start)) curves.push(lineTo(pen, start));
    const made = contourOf(curves);
    if (made) outlines.push(made);
    curves = [];
    pen = start;
  };
  for (const { type, values } of path) {
    const at = (k: number): Point => ({
      x: values[2 * k] / unitsPerEm,
      y: -values[2 * k + 1] / unitsPerEm,
    });
    if (type === 'M') {
      if (curves.length > 0) close();
      pen = start = at(0);
    } else if (type === 'L') {
      if (!isSamePoint(pen, at(0))) curves.push(lineTo(pen, at(0)));
      pen = at(0);
    } else if (type === 'Q') {
      curves.push(fromQuadratic(pen, at(0), at(1)));
      pen = at(1);
    } else if (type === 'C') {
      curves.push({ points: [pen, at(0), at(1)], straight: false });
      pen = at(2);
    } else {
      close();
    }
  }
  if (curves.length > 0) close();
  return outlines;
}

const isSamePoint = (a: Point, b: Point): boolean => distance(a, b) < SAME;

const lineTo = (from: Point, to: Point): Curve => ({
  points: [from, interpolated(from, to, 1 / 3), interpolated(from, to, 2 / 3)],
  straight: true,
});

/** A quadratic curve's cubic controls lie two thirds of the way to its own (degree elevation). */
const fromQuadratic = (from: Point, control: Point, to: Point): Curve => ({
  points: [from, interpolated(from, control, 2 / 3), interpolated(to, control, 2 / 3)],
  straight: false,
});

/** Fewer curves enclose nothing. */
const FEWEST = 2;

function contourOf(curves: readonly Curve[]): Outline | undefined {
  if (curves.length < FEWEST) return undefined;
  const coords = Float64Array.from(
    curves.flatMap(({ points }) => points.flatMap(({ x, y }) => [x, y])),
  );
  const straight = Uint8Array.from(curves, (curve) => Number(curve.straight));
  curves.forEach((curve, i) => {
    if (!curve.straight) return;
    writeLine(coords, 6 * i, curve.points[0], curves[(i + 1) % curves.length].points[0]);
  });
  return withCorners({ coords, straight, corner: new Uint8Array(curves.length) });
}

/** Marks the corners of an outline that has none marked. */
function withCorners(outline: Outline): Outline {
  const corner = Uint8Array.from(outline.straight, (_, i) =>
    Number(turnInto(outline, i) > mostKink),
  );
  return { ...outline, corner };
}
