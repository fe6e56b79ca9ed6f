import { isInside } from '../../geometry/boolean-operations.js';
import type { SegmentIndex } from '../../geometry/segment-index.js';
import type { Point } from '../../geometry/shape.js';
import type { ErodedFilm } from './eroded-film.js';
import { isOpenAt } from './lines.js';
import { stubBeside, type SeenStrip, type Stub } from './stub-beside.js';
import { edgesAlong, tiesOf, type Tie, type TieLimits } from './tie.js';

/** An opening that is wider, in mm, is no line. */
const LINE_MM = 3;
/** A stub shorter than this, in mm, is no more than the flare of the strip. */
const SHORTEST_MM = 0.4;

/** The stubs of a tie across a line, no longer than so many mm. */
function stubsOf(
  film: ErodedFilm,
  tie: Tie,
  mostMm: number,
): { readonly side: -1 | 1; readonly stub: Stub }[] {
  if (tie.followsNeck || gapOf(tie) > LINE_MM) return [];
  const strip = seenOf(tie, film.pixelsPerMm);
  return ([-1, 1] as const).flatMap((side) => {
    const stub = stubBeside(film, strip, side, mostMm * film.pixelsPerMm);
    return stub && stub.length >= SHORTEST_MM * film.pixelsPerMm ? [{ side, stub }] : [];
  });
}

function gapOf({ gapStart, gapEnd }: Tie): number {
  return Math.hypot(gapEnd.x - gapStart.x, gapEnd.y - gapStart.y);
}

/** A tie is moved by no more, in mm: a longer stub reads as a line. */
const FURTHEST_MM = 3;
/** A line between two others of which less would be left than this, in mm, is given up: it would be a stub. */
const LEAST_LINE_MM = 2.5;
/** A tie may cost so many times as much where it leaves no stub; nothing more where the shortest are wanted. */
const WORTH = 1.5;

/**
 * Moves ties to the junctions beside them: where a line that a tie crosses meets another one near by, the tie is laid
 * along the other one's edge (at T-junctions), so that the gap looks as if that passed over it, and no stub is left.
 *
 * @param accepted a tie as it is laid where it was moved to, instead of where it was; undefined where it can't be
 */
export function atJunctions(
  ties: readonly Tie[],
  film: ErodedFilm,
  edges: SegmentIndex,
  limits: TieLimits,
  accepted: (moved: Tie, tie: Tie) => Tie | undefined,
): Tie[] {
  return ties.map((tie) => {
    const stubs = stubsOf(film, tie, FURTHEST_MM);
    const left = stubs.reduce((sum, { stub }) => sum + stub.length, 0) / film.pixelsPerMm;
    if (stubs.length > 1 && left < LEAST_LINE_MM) return tie;
    const ways = stubs.flatMap(({ side, stub }) => moved(tie, side, stub, film, limits));
    const most = (film.saliency ? WORTH : 1) * tie.cost;
    const cheap = ways.filter(({ cost }) => cost <= most);
    for (const way of cheap.sort((a, b) => a.cost - b.cost)) {
      const laid = accepted(seenOn(way, edges), tie);
      if (laid) return laid;
    }
    return tie;
  });
}

/** What was found on pixels is so near to the place on the curves, in mm. */
const PIXEL_MM = 0.1;

/** A tie that is seen from film to film on the curves themselves. */
function seenOn(tie: Tie, edges: SegmentIndex): Tie {
  const { gapStart, gapEnd } = tie;
  return {
    ...tie,
    gapStart: edges.nearest(gapStart, gapStart, PIXEL_MM) ?? gapStart,
    gapEnd: edges.nearest(gapEnd, gapEnd, PIXEL_MM) ?? gapEnd,
  };
}

/** How far into the film it is looked for the core beyond what it was, in mm: the gap is wider at a slant. */
const SPARE_MM = 0.5;

/** A tie laid along a stub's mouth, and one moved to its nearer corner, where they still join the same cores. */
function moved(
  tie: Tie,
  side: -1 | 1,
  { mouth }: Stub,
  film: ErodedFilm,
  limits: TieLimits,
): Tie[] {
  const { pixelsPerMm } = film;
  const { from, to, width } = seenOf(tie, pixelsPerMm);
  const [ux, uy] = unit(from, to);
  const offs = mouth.map(({ x, y }) => side * ((y - from.y) * ux - (x - from.x) * uy));
  const by = side * (Math.min(...offs) - width / 2);
  const beside = [from, to].map(({ x, y }): Point => ({ x: x - by * uy, y: y + by * ux }));
  const [vx, vy] = unit(...mouth);
  const back = (side * width) / 2;
  const along = mouth.map(({ x, y }): Point => ({ x: x + back * vy, y: y - back * vx }));
  const before = Math.hypot(tie.start.x - tie.gapStart.x, tie.start.y - tie.gapStart.y);
  const after = Math.hypot(tie.end.x - tie.gapEnd.x, tie.end.y - tie.gapEnd.y);
  const edges = [beside, along].flatMap(([a, b]) => {
    const [dx, dy] = unit(a, b);
    const [out, on] = [before, after].map((into) => (into + SPARE_MM) * pixelsPerMm);
    const line = { x0: a.x - out * dx, y0: a.y - out * dy, x1: b.x + on * dx, y1: b.y + on * dy };
    return edgesAlong(film, line)
      .filter((one) => one.from === tie.from && one.to === tie.to)
      .slice(0, 1);
  });
  return tiesOf(film, edges, limits).map((way) => ({ ...tie, ...way }));
}

/** The direction from one place to another. */
function unit(a: Point, b: Point): readonly [number, number] {
  const length = Math.hypot(b.x - a.x, b.y - a.y) || 1;
  return [(b.x - a.x) / length, (b.y - a.y) / length];
}

/** A stub that is longer than so many widths of its opening, or than this, in mm, reads as a line and stays. */
const WIDTHS = 1.25;
const LONGEST_MM = 2;
/** A strip over a stub goes on into the film by so much at either end, in mm. */
const INTO_FILM_MM = 0.3;
/** What it may cover of other openings, in mm². */
const BESIDE_MM2 = 0.15;
/** A wall of the stub may lie so far beyond the straight way along it, in px. */
const OVER_WALL_PX = 2;

/** Strips of film over the stubs that ties leave: from the tie to the edge of the opening in which the stub ends. */
export function stubFills(film: ErodedFilm, ties: readonly Tie[]): Tie[] {
  return ties.flatMap((tie) =>
    stubsOf(film, tie, Math.min(WIDTHS * gapOf(tie), LONGEST_MM)).flatMap(({ side, stub }) =>
      over(film, seenOf(tie, film.pixelsPerMm), stub, side, tie),
    ),
  );
}

/** What is seen of a tie, in px. */
function seenOf({ gapStart, gapEnd, widthMm }: Tie, pixelsPerMm: number): SeenStrip {
  const inPx = ({ x, y }: Point): Point => ({ x: x * pixelsPerMm, y: y * pixelsPerMm });
  return { from: inPx(gapStart), to: inPx(gapEnd), width: widthMm * pixelsPerMm };
}

/** A strip along a stub's mouth that covers it as far as the tie; none where it would cover other openings. */
function over(
  film: ErodedFilm,
  strip: SeenStrip,
  { mouth: [a, b] }: Stub,
  side: -1 | 1,
  tie: Tie,
): Tie[] {
  const { pixelsPerMm } = film;
  const length = Math.hypot(b.x - a.x, b.y - a.y);
  if (length === 0) return [];
  const [ux, uy] = [(b.x - a.x) / length, (b.y - a.y) / length];
  // Towards the tie.
  const [nx, ny] = [side * uy, -side * ux];
  const [p, q] = [strip.from, strip.to];
  const depth = ({ x, y }: Point): number => (x - a.x) * nx + (y - a.y) * ny;
  const deep = Math.max(depth(p), depth(q));
  if (deep <= 0) return [];
  // With the tie's other half: where the mouth slants, the strip's corner lies on it. Its walls are not quite straight.
  const corners: readonly (readonly [Point, number, number])[] = [
    [a, 0, -1],
    [b, 0, 1],
    [q, strip.width / 2, 1],
    [p, strip.width / 2, -1],
  ];
  const wanted = Float64Array.from(
    corners.flatMap(([{ x, y }, deeper, out]) => [
      x + deeper * nx + out * OVER_WALL_PX * ux,
      y + deeper * ny + out * OVER_WALL_PX * uy,
    ]),
  );
  const into = INTO_FILM_MM * pixelsPerMm;
  const at = (along: number, in_: number): Point => ({
    x: a.x + along * ux + in_ * nx,
    y: a.y + along * uy + in_ * ny,
  });
  let beside = 0;
  for (let along = -into; along <= length + into; along++) {
    for (let d = 0.5; d < deep; d++) {
      const place = at(along, d);
      if (isOpenAt(film, place.x, place.y) && !isInside(wanted, place.x, place.y)) beside++;
    }
  }
  if (beside > BESIDE_MM2 * pixelsPerMm ** 2) return [];
  const [start, end] = [at(-into, deep / 2), at(length + into, deep / 2)].map(({ x, y }) => ({
    x: x / pixelsPerMm,
    y: y / pixelsPerMm,
  }));
  return [
    {
      ...tie,
      start,
      end,
      gapStart: start,
      gapEnd: end,
      widthMm: deep / pixelsPerMm,
      followsNeck: true,
      plain: true,
      cost: 0,
      origin: 'proposed',
    },
  ];
}
