import type { Sheet } from '../settings/card.js';
import type { Outline, Point } from './shape.js';

/** Writes a straight line as a curve's first six numbers: its start, and its controls at its thirds. */
export function writeLine(coords: Float64Array, at: number, from: Point, to: Point): void {
  coords[at] = from.x;
  coords[at + 1] = from.y;
  coords[at + 2] = from.x + (to.x - from.x) / 3;
  coords[at + 3] = from.y + (to.y - from.y) / 3;
  coords[at + 4] = to.x + (from.x - to.x) / 3;
  coords[at + 5] = to.y + (from.y - to.y) / 3;
}

/** A curve of an outline by itself: all its eight numbers, and what the outline says of it. */
export interface OutlineCurve {
  readonly cubic: Float64Array;
  readonly straight: boolean;
  /** Whether it starts at a marked corner. */
  readonly corner: boolean;
}

/** The outline that curves make, each of which ends where the next one starts. */
export function outlineOfCurves(curves: readonly OutlineCurve[]): Outline {
  const coords = new Float64Array(6 * curves.length);
  curves.forEach(({ cubic }, i) => coords.set(cubic.subarray(0, 6), 6 * i));
  return {
    coords,
    straight: Uint8Array.from(curves, ({ straight }) => Number(straight)),
    corner: Uint8Array.from(curves, ({ corner }) => Number(corner)),
  };
}

/** The same outline run the other way. */
export function turnedBack({ coords, straight, corner }: Outline): Outline {
  const n = straight.length;
  const back = new Float64Array(coords.length);
  for (let i = 0; i < n; i++) {
    // Curve i of the new outline is curve n - 1 - i of the old: it starts where that one ends.
    const end = 6 * (n - i);
    for (let k = 0; k < 3; k++) {
      const source = (end - 2 * k) % coords.length;
      back[6 * i + 2 * k] = coords[source];
      back[6 * i + 2 * k + 1] = coords[source + 1];
    }
  }
  return {
    coords: back,
    straight: straight.toReversed(),
    corner: corner.map((_, i) => corner[(n - i) % n]),
  };
}

/** Whether an outline is the sheet's edge: all round a mask is cut away. */
export function isSheetEdge({ coords, straight }: Outline, { widthMm, heightMm }: Sheet): boolean {
  const [x0, y0, x1, y1] = [coords[0], coords[1], coords[12], coords[13]];
  return straight.length === 4 && x0 === 0 && y0 === 0 && x1 === widthMm && y1 === heightMm;
}
