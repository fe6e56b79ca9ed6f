import type { Shape } from '../../geometry/shape.js';
import { drawShapes } from '../pen.js';

/** Shapes as path data, in the words of SVG 2, section 9.3. */
export function shapePath(openings: readonly Shape[]): string {
  const words: string[] = [];
  drawShapes(openings, {
    move: (x, y) => words.push(`M${x} ${y}`),
    line: (x, y) => words.push(`L${x} ${y}`),
    curve: (x1, y1, x2, y2, x, y) => words.push(`C${x1} ${y1} ${x2} ${y2} ${x} ${y}`),
    close: () => words.push('Z'),
  });
  return words.join('');
}
