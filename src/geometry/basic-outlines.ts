import { writeLine } from './outline.js';
import type { Outline } from './shape.js';

/** How far a quarter circle's controls stand off, for a unit circle: 4/3 · (√2 − 1); the arc is off by 0.03 %. */
const KAPPA = (4 / 3) * (Math.SQRT2 - 1);

/** A rectangle in mm, its corners marked, clockwise on the page. */
export function rectangle(x: number, y: number, width: number, height: number): Outline {
  const corners = [
    { x, y },
    { x: x + width, y },
    { x: x + width, y: y + height },
    { x, y: y + height },
  ];
  const coords = new Float64Array(24);
  corners.forEach((from, i) => writeLine(coords, 6 * i, from, corners[(i + 1) % 4]));
  return { coords, straight: new Uint8Array(4).fill(1), corner: new Uint8Array(4).fill(1) };
}

/** A circle in mm round x, y, clockwise on the page. */
export function circle(x: number, y: number, radius: number): Outline {
  const unit = [
    [1, 0, 1, KAPPA, KAPPA, 1],
    [0, 1, -KAPPA, 1, -1, KAPPA],
    [-1, 0, -1, -KAPPA, -KAPPA, -1],
    [0, -1, KAPPA, -1, 1, -KAPPA],
  ].flat();
  return {
    coords: Float64Array.from(unit, (value, i) => value * radius + (i % 2 === 0 ? x : y)),
    straight: new Uint8Array(4),
    corner: new Uint8Array(4),
  };
}

/** A square with rounded corners in mm, clockwise on the page; `radius` is less than half its side. */
export function roundedSquare(x: number, y: number, side: number, radius: number): Outline {
  const far = side - radius;
  const k = radius * (1 - KAPPA);
  // Each side and the bend after it, as seen from the top left corner; then a quarter turn on.
  const lines = [
    [radius, 0, far, 0],
    [side, radius, side, far],
    [far, side, radius, side],
    [0, far, 0, radius],
  ];
  const bends = [
    [far, 0, side - k, 0, side, k],
    [side, far, side, side - k, side - k, side],
    [radius, side, k, side, 0, side - k],
    [0, radius, 0, k, k, 0],
  ];
  const coords = new Float64Array(48);
  lines.forEach(([fromX, fromY, toX, toY], i) => {
    writeLine(coords, 12 * i, { x: x + fromX, y: y + fromY }, { x: x + toX, y: y + toY });
    coords.set(
      bends[i].map((value, j) => value + (j % 2 === 0 ? x : y)),
      12 * i + 6,
    );
  });
  return {
    coords,
    straight: Uint8Array.from({ length: 8 }, (_, i) => (i % 2 === 0 ? 1 : 0)),
    corner: new Uint8Array(8),
  };
}
