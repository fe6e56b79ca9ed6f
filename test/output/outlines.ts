import type { Outline, Shape } from '../../src/geometry/shape.js';

type XY = readonly [number, number];

/** A control distance that follows a quarter circle within 0.03 %: the textbook 4/3 (√2 − 1). */
const QUARTER = (4 / 3) * (Math.SQRT2 - 1);

/** Curves as [start, control, control] triples, or a start alone for a straight one. */
function outlineOf(curves: readonly (readonly [XY] | readonly [XY, XY, XY])[]): Outline {
  const coords = new Float64Array(6 * curves.length);
  const straight = new Uint8Array(curves.length);
  const corner = new Uint8Array(curves.length);
  curves.forEach((curve, i) => {
    const start = curve[0];
    const end = curves[(i + 1) % curves.length][0];
    const third = (k: number): XY => [
      start[0] + ((end[0] - start[0]) * k) / 3,
      start[1] + ((end[1] - start[1]) * k) / 3,
    ];
    const points = curve.length === 3 ? curve : [start, third(1), third(2)];
    coords.set(points.flat(), 6 * i);
    straight[i] = curve.length === 3 ? 0 : 1;
    const before = curves[(i + curves.length - 1) % curves.length];
    corner[i] = straight[i] === 1 || before.length === 1 ? 1 : 0;
  });
  return { coords, straight, corner };
}

export const polygon = (points: readonly XY[]): Outline =>
  outlineOf(points.map((point) => [point] as const));

export const rectangle = (x: number, y: number, width: number, height: number): Outline =>
  polygon([
    [x, y],
    [x + width, y],
    [x + width, y + height],
    [x, y + height],
  ]);

/** Four curves, clockwise on the sheet. */
export function circle(x: number, y: number, r: number): Outline {
  const k = r * QUARTER;
  return outlineOf([
    [
      [x + r, y],
      [x + r, y + k],
      [x + k, y + r],
    ],
    [
      [x, y + r],
      [x - k, y + r],
      [x - r, y + k],
    ],
    [
      [x - r, y],
      [x - r, y - k],
      [x - k, y - r],
    ],
    [
      [x, y - r],
      [x + k, y - r],
      [x + r, y - k],
    ],
  ]);
}

/** A pointed leaf from (x, y), `length` long and `width` wide, turned by `degrees`; two curves, two corners. */
export function leaf(
  x: number,
  y: number,
  length: number,
  width: number,
  degrees: number,
): Outline {
  const turn = (along: number, across: number): XY => {
    const a = (degrees * Math.PI) / 180;
    return [
      x + along * Math.cos(a) - across * Math.sin(a),
      y + along * Math.sin(a) + across * Math.cos(a),
    ];
  };
  const bulge = (width * 2) / 3;
  const outline = outlineOf([
    [turn(0, 0), turn(length * 0.25, -bulge), turn(length * 0.7, -bulge)],
    [turn(length, 0), turn(length * 0.7, bulge), turn(length * 0.25, bulge)],
  ]);
  return { ...outline, corner: Uint8Array.of(1, 1) };
}

function star(x: number, y: number, r: number, points: number): Outline {
  return polygon(
    Array.from({ length: 2 * points }, (_, i): XY => {
      const radius = i % 2 === 0 ? r : r * 0.45;
      const a = (i * Math.PI) / points - Math.PI / 2;
      return [x + radius * Math.cos(a), y + radius * Math.sin(a)];
    }),
  );
}

export const solid = (outer: Outline, ...holes: readonly Outline[]): Shape => ({ outer, holes });

/** A sprig, a ring and stars on a 4 × 4 in card: openings that neither touch nor overlap, one with a hole. */
export const sprig: readonly Shape[] = [
  solid(circle(24, 24, 12), circle(24, 24, 6.5)),
  solid(star(77, 25, 13, 5)),
  solid(star(87, 55, 5, 6)),
  solid(star(17, 58, 4, 5)),
  ...[0, 1, 2, 3].flatMap((i) => [
    solid(leaf(53 - i * 0.5, 91 - i * 13, 27 - i * 3, 9 - i * 0.8, -28 - i * 5)),
    solid(leaf(48.6 - i * 0.2, 91 - i * 13, 27 - i * 3, 9 - i * 0.8, 208 + i * 5)),
  ]),
  solid(leaf(50, 44, 26, 8, -90)),
];

/** Twice the signed area of a closed polygon of x, y pairs, halved: its area, whichever way it runs. */
export function polygonArea(points: ArrayLike<number>): number {
  let sum = 0;
  for (let i = 0, before = points.length - 2; i < points.length; before = i, i += 2) {
    sum += points[before] * points[i + 1] - points[i] * points[before + 1];
  }
  return Math.abs(sum) / 2;
}
