import { boundingBox } from '../../geometry/bounding-box.js';
import { angleBetween } from '../../geometry/angle.js';
import { flatten } from '../../geometry/flatten.js';
import { perimeter } from '../../geometry/perimeter.js';
import { signedArea } from '../../geometry/signed-area.js';
import type { Outline, Point, Shape } from '../../geometry/shape.js';
import { straightRuns, type StraightRun } from '../../geometry/straight-runs.js';

/** An opening, measured. */
export interface CutPiece {
  /** Its outer outline, x, y pairs in mm. */
  readonly polygon: Float64Array;
  /** Where its cut starts and ends: at a corner where it has one. */
  readonly start: Point;
  /** The middle of its box. */
  readonly middle: Point;
  readonly widthMm: number;
  readonly heightMm: number;
  readonly areaMm2: number;
  readonly lengthMm: number;
  /** Marked corners: the hand stops and turns. */
  readonly corners: number;
  /** Stretches for a ruler. */
  readonly runs: readonly StraightRun[];
  readonly minutes: number;
}

/** How far a polygon may lie off its curve, in mm: too fine to change an area or a length that anyone reads. */
const TOLERANCE_MM = 0.005;
/**
 * What a metal ruler is worth being laid on for, and how far the line may wander from its edge, in mm. Common practice,
 * from memory, no published source.
 */
const SHORTEST_RUN_MM = 15;
const RUN_OFF_MM = 0.15;
/**
 * What a piece and a corner take besides the cutting: to find the place and press the piece out; to stop and turn.
 * Common practice, from memory, no published source.
 */
const MINUTES_PER_PIECE = 0.2;
const MINUTES_PER_CORNER = 0.05;

export function measurePiece({ outer, holes }: Shape, cuttingSpeed: number): CutPiece {
  const polygon = flatten(outer, TOLERANCE_MM);
  const inner = holes.map((hole) => flatten(hole, TOLERANCE_MM));
  const areaMm2 = inner.reduce(
    (area, hole) => area - Math.abs(signedArea(hole)),
    Math.abs(signedArea(polygon)),
  );
  const lengthMm = [polygon, ...inner].reduce((sum, loop) => sum + perimeter(loop), 0);
  const corners = [outer, ...holes].reduce(
    (sum, { corner }) => sum + corner.reduce((count, marked) => count + marked, 0),
    0,
  );
  const box = pieceBox(polygon);
  return {
    polygon,
    start: startOf(outer, Math.sign(signedArea(polygon)), box.middle),
    ...box,
    areaMm2,
    lengthMm,
    corners,
    runs: [...runsOf(polygon, 1), ...inner.flatMap((loop) => runsOf(loop, -1))],
    minutes: lengthMm / cuttingSpeed + MINUTES_PER_PIECE + corners * MINUTES_PER_CORNER,
  };
}

/** The runs of a loop, each with the piece on its right as it goes from end to end, y down. */
function runsOf(loop: Float64Array, way: 1 | -1): StraightRun[] {
  const { widthMm, heightMm } = pieceBox(loop);
  if (Math.hypot(widthMm, heightMm) < SHORTEST_RUN_MM) return [];
  const runs = straightRuns(loop, SHORTEST_RUN_MM, RUN_OFF_MM);
  if (Math.sign(signedArea(loop)) === way) return runs;
  return runs.map(({ from, to, lengthMm }) => ({ from: to, to: from, lengthMm }));
}

function pieceBox(loop: Float64Array): Pick<CutPiece, 'middle' | 'widthMm' | 'heightMm'> {
  const [left, top, right, bottom] = boundingBox(loop);
  return {
    middle: { x: (left + right) / 2, y: (top + bottom) / 2 },
    widthMm: right - left,
    heightMm: bottom - top,
  };
}

/**
 * Where the cut starts and ends: at the corner that points outward and is nearest to the piece's middle, since the
 * hand stops and the cuts cross there anyway; without such a corner at any corner, else where two curves meet.
 */
function startOf(outline: Outline, way: number, middle: Point): Point {
  const joints = [...outline.corner.keys()];
  const corners = joints.filter((i) => outline.corner[i] === 1);
  const outward = corners.filter((i) => turnAt(outline, i) * way > 0);
  const [, at] = [outward, corners, joints]
    .find((some) => some.length > 0)!
    .map((i) => ({ x: outline.coords[6 * i], y: outline.coords[6 * i + 1] }))
    .reduce<readonly [number, Point]>(
      ([least, best], place) => {
        const off = Math.hypot(place.x - middle.x, place.y - middle.y);
        return off < least ? [off, place] : [least, best];
      },
      [Infinity, middle],
    );
  return at;
}

/** How much an outline turns where curve i starts, in radians; positive is clockwise on the page. */
function turnAt({ coords }: Outline, i: number): number {
  const at = 6 * i;
  const before = (at + coords.length - 2) % coords.length;
  const arrive = Math.atan2(coords[at + 1] - coords[before + 1], coords[at] - coords[before]);
  const leave = Math.atan2(coords[at + 3] - coords[at + 1], coords[at + 2] - coords[at]);
  return angleBetween(arrive, leave);
}
