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
const OVERSHOOT_MM = 0.15;

/** A place beside a strip's middle line: how far along it, and how far to the right of it, in mm. */
interface EndOffset {
  readonly along: number;
  readonly across: number;
}

/**
 * Ends a strip just past the stroke that it bridges, at any end that lies in no core, as in the inside of a small letter: there
 * is nothing further on that it could hold to, and it would bite into the stroke opposite.
 */
export function withEndsJustPastStroke(
  tie: Tie,
  { from, to, lines = [[from, to]] }: DesignedBridge,
): Tie {
  const length = Math.hypot(to.x - from.x, to.y - from.y);
  if (length === 0 || (tie.from !== 0 && tie.to !== 0)) return tie;
  const [dx, dy] = [(to.x - from.x) / length, (to.y - from.y) / length];
  const beside = ({ x, y }: Point): EndOffset => ({
    along: (x - from.x) * dx + (y - from.y) * dy,
    across: (x - from.x) * dy - (y - from.y) * dx,
  });
  const at = ({ along, across }: EndOffset): Point => ({
    x: from.x + along * dx + across * dy,
    y: from.y + along * dy - across * dx,
  });
  const half = tie.widthMm / 2;
  const corners = (end: 0 | 1): readonly [EndOffset, EndOffset] => {
    const isHeld = (end === 0 ? tie.from : tie.to) !== 0;
    const over = isHeld
      ? () => beside(end === 0 ? tie.start : tie.end).along
      : lineBeyond(
          lines.map((line) => beside(line[end])),
          end === 0 ? -1 : 1,
        );
    return [
      { along: over(-half), across: -half },
      { along: over(half), across: half },
    ];
  };
  const [[left, right], [endLeft, endRight]] = [corners(0), corners(1)];
  const middle = (a: EndOffset, b: EndOffset): Point =>
    at({ along: (a.along + b.along) / 2, across: 0 });
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
function lineBeyond(places: readonly EndOffset[], way: 1 | -1): (across: number) => number {
  const sorted = places.toSorted((a, b) => a.across - b.across);
  const [first, last] = [sorted[0], sorted[sorted.length - 1]];
  const rise =
    last.across > first.across ? (last.along - first.along) / (last.across - first.across) : 0;
  const lineAt = (across: number): number => first.along + rise * (across - first.across);
  const more = Math.max(...places.map(({ along, across }) => way * (along - lineAt(across))));
  return (across) => lineAt(across) + way * (more + OVERSHOOT_MM);
}
