import type { Point } from '../../geometry/shape.js';
import type { Tie } from './tie.js';

/** A bridge that the design itself asks for, as a letter does: on the film at either side of an opening, in mm. */
export interface DesignedBridge {
  readonly from: Point;
  readonly to: Point;
  readonly widthMm: number;
  /** From where to where its middle and its sides cross the opening, where not all of them end side by side. */
  readonly lines?: readonly (readonly [from: Point, to: Point])[];
  /** Whether it gives way to one that a person adds between the same two parts of the film. */
  readonly givesWay?: boolean;
  /** Whether its ends widen into the film as those of any bridge: a letter's strokes end square. */
  readonly flares?: boolean;
}

/** Beyond what it bridges a strip goes on by so much, in mm: more than its edges there lie off the curves. */
const BEYOND_MM = 0.15;

/** A place beside a strip's middle line: how far along it, and how far to the right of it, in mm. */
interface EndOffset {
  readonly on: number;
  readonly off: number;
}

/**
 * The tie, an end of it that lies in no core, as in the inside of a small letter, just beyond the stroke that it bridges, on
 * either side of the strip: there is nothing further on that it could hold to, and it would bite into the stroke opposite.
 */
export function withEndsAtHand(tie: Tie, { from, to, lines = [[from, to]] }: DesignedBridge): Tie {
  const length = Math.hypot(to.x - from.x, to.y - from.y);
  if (length === 0 || (tie.from !== 0 && tie.to !== 0)) return tie;
  const [dx, dy] = [(to.x - from.x) / length, (to.y - from.y) / length];
  const beside = ({ x, y }: Point): EndOffset => ({
    on: (x - from.x) * dx + (y - from.y) * dy,
    off: (x - from.x) * dy - (y - from.y) * dx,
  });
  const at = ({ on, off }: EndOffset): Point => ({
    x: from.x + on * dx + off * dy,
    y: from.y + on * dy - off * dx,
  });
  const half = tie.widthMm / 2;
  const corners = (end: 0 | 1): readonly [EndOffset, EndOffset] => {
    const isHeld = (end === 0 ? tie.from : tie.to) !== 0;
    const over = isHeld
      ? () => beside(end === 0 ? tie.start : tie.end).on
      : lineBeyond(
          lines.map((line) => beside(line[end])),
          end === 0 ? -1 : 1,
        );
    return [
      { on: over(-half), off: -half },
      { on: over(half), off: half },
    ];
  };
  const [[left, right], [endLeft, endRight]] = [corners(0), corners(1)];
  const middle = (a: EndOffset, b: EndOffset): Point => at({ on: (a.on + b.on) / 2, off: 0 });
  return {
    ...tie,
    start: middle(left, right),
    end: middle(endLeft, endRight),
    corners: Float64Array.from(
      [left, endLeft, endRight, right].map(at).flatMap(({ x, y }) => [x, y]),
    ),
  };
}

/** The straight end of a strip that goes beyond some places of it: how far along it is, by how far aside. */
function lineBeyond(places: readonly EndOffset[], way: 1 | -1): (off: number) => number {
  const sorted = places.toSorted((a, b) => a.off - b.off);
  const [first, last] = [sorted[0], sorted[sorted.length - 1]];
  const rise = last.off > first.off ? (last.on - first.on) / (last.off - first.off) : 0;
  const along = (off: number): number => first.on + rise * (off - first.off);
  const more = Math.max(...places.map(({ on, off }) => way * (on - along(off))));
  return (off) => along(off) + way * (more + BEYOND_MM);
}
