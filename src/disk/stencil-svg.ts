import type { Sheet } from '../settings/card.js';
import { flatten } from '../geometry/flatten.js';
import { writeLine } from '../geometry/outline.js';
import { signedArea } from '../geometry/signed-area.js';
import type { Outline, Point, Shape } from '../geometry/shape.js';
import { Problem } from '../settings/problem.js';

/** What a stencil.svg says: the sheet, and what is cut out of it. */
export interface CutDrawing {
  readonly sheet: Sheet;
  readonly openings: readonly Shape[];
}

/** A turn at which the hand stops, in radians (10°): corners are not written down in a stencil.svg. */
const CORNER = (10 * Math.PI) / 180;

/**
 * Reads the text of a stencil.svg, as `stencilSvg` writes it.
 *
 * @throws Problem when it is not as it was written
 */
export function parseStencil(svg: string, where: string): CutDrawing {
  const [root] = /<svg\b[^>]*>/.exec(svg) ?? [];
  const [path] = /<path\b[^>]*\bid="openings"[^>]*>/.exec(svg) ?? [];
  const sheet = { widthMm: attributeInMm(root, 'width'), heightMm: attributeInMm(root, 'height') };
  const outlines = path === undefined ? undefined : readOutlines(attribute(path, 'd') ?? '');
  const isWhole = sheet.widthMm > 0 && sheet.heightMm > 0;
  const openings = outlines && asShapes(outlines);
  if (isWhole && openings && !/\btransform=/.test(svg)) return { sheet, openings };
  throw new Problem(
    'This stencil was changed by another program, so its sizes are not sure',
    where,
    'Make it again with stencilwright make',
  );
}

function attribute(tag: string | undefined, name: string): string | undefined {
  return new RegExp(`\\s${name}="([^"]*)"`).exec(tag ?? '')?.[1];
}

function attributeInMm(tag: string | undefined, name: string): number {
  const [, number] = /^([\d.]+)mm$/.exec(attribute(tag, name) ?? '') ?? [];
  return Number(number ?? NaN);
}

/** How many numbers follow a letter of SVG 2, section 9.3. */
const NUMBERS: Readonly<Record<string, number>> = { M: 2, L: 2, C: 6, Z: 0 };

/** Closed outlines of the letters M, L, C and Z with absolute coordinates; undefined for anything else. */
function readOutlines(d: string): Outline[] | undefined {
  const outlines: Outline[] = [];
  let curves: number[][] = [];
  let straight: boolean[] = [];
  let at: Point | undefined;
  for (const [, letter, rest] of d.matchAll(/([A-Za-z])([^A-Za-z]*)/g)) {
    const numbers = rest
      .split(/[\s,]+/)
      .filter((word) => word !== '')
      .map(Number);
    if (numbers.length !== NUMBERS[letter] || !numbers.every(Number.isFinite)) return undefined;
    if (letter === 'M') {
      if (at) return undefined;
    } else if (!at) {
      return undefined;
    } else if (letter === 'Z') {
      outlines.push(asOutline(curves, straight));
      [curves, straight, at] = [[], [], undefined];
      continue;
    } else {
      curves.push([at.x, at.y, ...numbers]);
      straight.push(letter === 'L');
    }
    at = { x: numbers[numbers.length - 2], y: numbers[numbers.length - 1] };
  }
  return at ? undefined : outlines;
}

/** @param curves the numbers of each: its start, its controls where it has any, its end */
function asOutline(curves: readonly number[][], straight: readonly boolean[]): Outline {
  const coords = new Float64Array(6 * curves.length);
  curves.forEach((numbers, i) => {
    const [x, y] = numbers;
    const end = { x: numbers[numbers.length - 2], y: numbers[numbers.length - 1] };
    if (straight[i]) writeLine(coords, 6 * i, { x, y }, end);
    else coords.set(numbers.slice(0, 6), 6 * i);
  });
  const corner = Uint8Array.from(curves, (_, i) => (turnAt(coords, i) > CORNER ? 1 : 0));
  return { coords, straight: Uint8Array.from(straight, Number), corner };
}

/** By how much the outline turns where curve i starts, in radians. */
function turnAt(coords: Float64Array, i: number): number {
  const n = coords.length;
  const point = (k: number): readonly [number, number] => [
    coords[(6 * i + 2 * k + n) % n],
    coords[(6 * i + 2 * k + 1 + n) % n],
  ];
  const direction = (...ks: readonly number[]): number => {
    const [x, y] = point(0);
    const [toX, toY] = ks.map(point).find(([a, b]) => a !== x || b !== y) ?? [x, y];
    return Math.atan2(toY - y, toX - x);
  };
  const turn = direction(1, 2, 3) - direction(-1, -2, -3) - Math.PI;
  return Math.abs(Math.atan2(Math.sin(turn), Math.cos(turn)));
}

/** An outer outline runs clockwise on the page and stands before its holes, which run the other way. */
function asShapes(outlines: readonly Outline[]): Shape[] | undefined {
  const shapes: { outer: Outline; holes: Outline[] }[] = [];
  for (const outline of outlines) {
    const shape = shapes.at(-1);
    if (signedArea(flatten(outline)) > 0) shapes.push({ outer: outline, holes: [] });
    else if (shape) shape.holes.push(outline);
    else return undefined;
  }
  return shapes;
}
