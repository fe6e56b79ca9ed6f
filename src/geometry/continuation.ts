import type { EdgeEnd } from '../graphs/trails.js';

/** A polyline, as an edge of a graph has it. */
interface Polyline {
  readonly x: ArrayLike<number>;
  readonly y: ArrayLike<number>;
}

/**
 * Where lines meet, one goes on in another for the eye when it turns by less than this, in radians: 60°. Good
 * continuation: M. Wertheimer, "Untersuchungen zur Lehre von der Gestalt II", Psychologische Forschung 4, 1923; the angle
 * is by eye.
 */
export const GOES_ON = Math.PI / 3;

/**
 * How far a line turns, in radians, that goes on from one end of an edge in another.
 *
 * @param reach over so much of an edge its direction is taken, in the edges' unit
 */
export function turnsIn(
  edges: readonly Polyline[],
  reach: number,
): (one: EdgeEnd, other: EdgeEnd) => number {
  const leaves = edges.flatMap((edge) => [
    directionOf(edge, false, reach),
    directionOf(edge, true, reach),
  ]);
  return (one, other) => {
    const between = Math.abs(leaves[one] - leaves[other]) % (2 * Math.PI);
    return Math.abs(Math.PI - Math.min(between, 2 * Math.PI - between));
  };
}

/** The direction in which an edge leaves one of its ends, in radians. */
function directionOf({ x, y }: Polyline, isEnd: boolean, reach: number): number {
  const last = x.length - 1;
  const at = (k: number): number => (isEnd ? last - k : k);
  let [k, passed] = [0, 0];
  while (k < last && passed < reach) {
    k++;
    passed += Math.hypot(x[at(k)] - x[at(k - 1)], y[at(k)] - y[at(k - 1)]);
  }
  return Math.atan2(y[at(k)] - y[at(0)], x[at(k)] - x[at(0)]);
}
