import { angleBetween } from '../../geometry/angle.js';
import { flatten } from '../../geometry/flatten.js';
import { signedArea } from '../../geometry/signed-area.js';
import type { Outline, Point, Shape } from '../../geometry/shape.js';
import { segmentIndex } from '../../geometry/segment-index.js';

/** A line by which a cut runs on past a corner, so that the piece comes free. */
export interface Overlap {
  readonly from: Point;
  readonly to: Point;
}

/** Common practice, from memory, no published source: just enough to cross, and never much of the film behind. */
const LONGEST_MM = 0.8;
const SHARE_OF_FILM = 1 / 3;
/**
 * A blunter corner than this, in radians (20°), comes free without. Common practice, from memory, no published source.
 */
const LEAST_TURN = (20 * Math.PI) / 180;
/**
 * How far a polygon may lie off its curve, and how far a next cut is looked for, in mm: further off than an overlap of
 * 0.8 mm comes near.
 */
const TOLERANCE_MM = 0.05;
const REACH_MM = 2;

/**
 * The overlaps at the corners of the pieces that point outward: there two cuts meet, and a blade that stops short at
 * their meeting leaves the piece hanging. A corner that points into the piece needs none.
 */
export function overlapsOf(openings: readonly Shape[]): Overlap[] {
  const outlines = openings.flatMap(({ outer, holes }) => [outer, ...holes]);
  const polygons = outlines.map((outline) => flatten(outline, TOLERANCE_MM));
  const sides = segmentIndex(polygons);
  const isHole = openings.flatMap(({ holes }) => [false, ...holes.map(() => true)]);
  return outlines.flatMap((outline, k) => {
    const way = Math.sign(signedArea(polygons[k])) * (isHole[k] ? -1 : 1);
    return [...outline.corner.keys()]
      .filter((i) => outline.corner[i] === 1)
      .flatMap((i) => crossing(outline, i, way, (at) => sides.nearest(at, at, REACH_MM)?.distance));
  });
}

/** The two overlaps of a corner, or none. */
function crossing(
  { coords }: Outline,
  curve: number,
  way: number,
  toNearest: (at: Point) => number | undefined,
): Overlap[] {
  const at = 6 * curve;
  const corner = { x: coords[at], y: coords[at + 1] };
  const before = (at + coords.length - 2) % coords.length;
  const arrive = Math.atan2(corner.y - coords[before + 1], corner.x - coords[before]);
  const leave = Math.atan2(coords[at + 3] - corner.y, coords[at + 2] - corner.x);
  if (angleBetween(arrive, leave) * way < LEAST_TURN) return [];
  const turn = Math.min(angleBetween(arrive, leave) * way, Math.PI / 2);
  return [arrive, leave + Math.PI].map((angle) => {
    const past = (mm: number): Point => ({
      x: corner.x + mm * Math.cos(angle),
      y: corner.y + mm * Math.sin(angle),
    });
    const film = filmAhead((mm) => toNearest(past(mm)), Math.sin(turn));
    return { from: corner, to: past(Math.min(LONGEST_MM, SHARE_OF_FILM * film)) };
  });
}

/** From look to look, in mm: no film that can be left between two cuts is narrower. */
const LOOK_MM = 0.3;
/** The corner's own sides are not looked at as closely as this. */
const OWN_SHARE = 0.9;

/**
 * How much film lies ahead of a corner before the next cut, up to what an overlap needs. Going ahead, the corner's own
 * sides fall back by `own` for each mm; whatever is nearer than that is another cut.
 */
function filmAhead(toNearest: (mm: number) => number | undefined, own: number): number {
  const most = LONGEST_MM / SHARE_OF_FILM;
  for (let mm = LOOK_MM; mm < most; mm += LOOK_MM) {
    const nearest = toNearest(mm);
    if (nearest !== undefined && nearest < OWN_SHARE * own * mm) return mm + nearest;
  }
  return most;
}
