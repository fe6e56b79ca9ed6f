import { flatten } from '../../src/geometry/flatten.js';
import { isInside } from '../../src/geometry/boolean-operations.js';
import type { Point, Shape } from '../../src/geometry/shape.js';

const TOLERANCE_MM = 0.01;

/**
 * The length, in mm, of what a bridge's middle line crosses of the openings, from the film's outline to the film's
 * outline: what the least length of the film regions counts too. Where two openings touch by a corner it is none.
 *
 * @returns a function of a bridge's two ends
 */
export function gapsOf(openings: readonly Shape[]): (from: Point, to: Point) => number {
  const loops = openings.flatMap(({ outer, holes }) =>
    [outer, ...holes].map((outline) => flatten(outline, TOLERANCE_MM)),
  );
  const isOpen = (x: number, y: number): boolean =>
    loops.filter((loop) => isInside(loop, x, y)).length % 2 === 1;
  return (from, to) => {
    const [dx, dy] = [to.x - from.x, to.y - from.y];
    const crossings = loops.flatMap((loop) => crossingsOf(loop, from, to));
    const shares = [0, ...crossings.sort((a, b) => a - b), 1];
    let open = 0;
    for (let i = 1; i < shares.length; i++) {
      const middle = (shares[i - 1] + shares[i]) / 2;
      if (isOpen(from.x + middle * dx, from.y + middle * dy)) open += shares[i] - shares[i - 1];
    }
    return open * Math.hypot(dx, dy);
  };
}

/** Where the way from one place to another crosses a loop, 0 to 1. */
function crossingsOf(loop: Float64Array, from: Point, to: Point): number[] {
  const [dx, dy] = [to.x - from.x, to.y - from.y];
  const shares: number[] = [];
  for (let i = 0, j = loop.length - 2; i < loop.length; j = i, i += 2) {
    const [ex, ey] = [loop[j] - loop[i], loop[j + 1] - loop[i + 1]];
    const [fx, fy] = [loop[i] - from.x, loop[i + 1] - from.y];
    const across = dx * ey - dy * ex;
    if (across === 0) continue;
    const along = (fx * ey - fy * ex) / across;
    const onSide = (fx * dy - fy * dx) / across;
    if (along > 0 && along < 1 && onSide >= 0 && onSide <= 1) shares.push(along);
  }
  return shares;
}
