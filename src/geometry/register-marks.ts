import type { Sheet } from '../settings/card.js';
import { registerPlaces, registerSide, type RegisterLimits } from '../settings/register-marks.js';
import { writeLine } from './outline.js';
import type { Shape } from './shape.js';

type Middle = readonly [number, number];

/** The register marks of a sheet: small squares in the margin, the same on every sheet of a set; none unless wanted. */
export function registerMarks(sheet: Sheet, limits: RegisterLimits): Shape[] {
  const side = registerSide(limits);
  return registerPlaces(sheet, limits).map((place) => squareAt(place, side));
}

/** The openings that are no register marks. */
export function withoutRegisterMarks(
  openings: readonly Shape[],
  sheet: Sheet,
  limits: RegisterLimits,
): readonly Shape[] {
  const places = registerPlaces(sheet, limits);
  if (places.length === 0) return openings;
  const side = registerSide(limits);
  return openings.filter((shape) => !places.some((place) => isSquareAt(shape, place, side)));
}

/** A square opening with its four corners marked, clockwise on the page; in mm. */
function squareAt([x, y]: Middle, side: number): Shape {
  const half = side / 2;
  const corners = [
    { x: x - half, y: y - half },
    { x: x + half, y: y - half },
    { x: x + half, y: y + half },
    { x: x - half, y: y + half },
  ];
  const coords = new Float64Array(24);
  corners.forEach((corner, k) => writeLine(coords, 6 * k, corner, corners[(k + 1) % 4]));
  const outer = { coords, straight: new Uint8Array(4).fill(1), corner: new Uint8Array(4).fill(1) };
  return { outer, holes: [] };
}

/** Rounding, on the grid of the polygon library or in a file, moves a corner by less. */
const SAME_MM = 0.01;

/** Whether a shape is the square of `squareAt`. */
function isSquareAt({ outer, holes }: Shape, [x, y]: Middle, side: number): boolean {
  const { coords } = outer;
  if (coords.length !== 24 || holes.length > 0) return false;
  return coords.every((value, k) => {
    const off = Math.abs(value - (k % 2 === 0 ? x : y));
    return off <= side / 2 + SAME_MM && (k % 6 > 1 || Math.abs(off - side / 2) <= SAME_MM);
  });
}
