import type { Outline, Shape } from '../geometry/shape.js';

/** What draws closed outlines: path data, a page. Coordinates come in mm, rounded to 0.001. */
export interface Pen {
  readonly move: (x: number, y: number) => void;
  readonly line: (x: number, y: number) => void;
  readonly curve: (x1: number, y1: number, x2: number, y2: number, x: number, y: number) => void;
  readonly close: () => void;
}

/** Draws every outline of the shapes as a closed subpath, each outer outline before its holes. */
export function drawShapes(shapes: readonly Shape[], pen: Pen): void {
  for (const { outer, holes } of shapes) {
    drawOutline(outer, pen);
    for (const hole of holes) drawOutline(hole, pen);
  }
}

function drawOutline({ coords, straight }: Outline, pen: Pen): void {
  const at = (i: number): number => roundMm(coords[i % coords.length]);
  pen.move(at(0), at(1));
  for (let curve = 0, i = 0; curve < straight.length; curve++, i += 6) {
    if (straight[curve]) pen.line(at(i + 6), at(i + 7));
    else pen.curve(at(i + 2), at(i + 3), at(i + 4), at(i + 5), at(i + 6), at(i + 7));
  }
  pen.close();
}

/** A length in mm to the nearest micrometre: far below what a hand, a printer or a blade can hold. */
export function roundMm(mm: number): number {
  return Math.round(mm * 1000) / 1000;
}
