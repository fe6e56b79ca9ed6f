import { flatten } from '../../geometry/flatten.js';
import type { Point, Shape } from '../../geometry/shape.js';
import {
  type PointOnSegment,
  type SegmentIndex,
  segmentIndex,
} from '../../geometry/segment-index.js';
import type { ErodedFilm } from './eroded-film.js';
import { edgesAlong, tiesOf, type CandidateEdge, type Tie, type TieLimits } from './tie.js';

/** How far the polygon of the film's edge may lie off its curves, in mm: a tenth of a pixel of the raster. */
const TOLERANCE_MM = 0.01;

/** The edges of the film, to set bridges on. */
export function filmEdges(openings: readonly Shape[]): SegmentIndex {
  return segmentIndex(
    openings.flatMap(({ outer, holes }) =>
      [outer, ...holes].map((outline) => flatten(outline, TOLERANCE_MM)),
    ),
  );
}

/**
 * Turns ties so that each takes the straight way over the gap: between the two places on the film's edges, near where
 * it was found, that are nearest to each other. One stays as it was where that does more damage or misses a core.
 */
export function straightenOverGaps(
  ties: readonly Tie[],
  film: ErodedFilm,
  edges: SegmentIndex,
  limits: TieLimits,
): Tie[] {
  const turns = ties.map((tie) => turnOf(tie, film, edges));
  const found = turns.filter((turn) => turn !== undefined);
  const turned = tiesOf(
    film,
    found.map(({ edge }) => edge),
    limits,
  );
  const settled = new Map(found.map((turn, k) => [turn.tie, settledAs(turn, turned[k])]));
  return ties.map((tie) => settled.get(tie) ?? tie);
}

/** A tie, the straight way over its gap, and the edge along that. */
interface StraightenedTie {
  readonly tie: Tie;
  readonly gap: readonly [Point, Point];
  readonly edge: CandidateEdge;
}

function turnOf(tie: Tie, film: ErodedFilm, edges: SegmentIndex): StraightenedTie | undefined {
  const gap = nearestGap(tie, edges);
  if (!gap) return undefined;
  const [a, b] = gap;
  const length = Math.hypot(b.x - a.x, b.y - a.y);
  const ux = (b.x - a.x) / length;
  const uy = (b.y - a.y) / length;
  const before = reach(tie.start, tie.gapStart);
  const after = reach(tie.end, tie.gapEnd);
  const { pixelsPerMm } = film;
  const edge = edgesAlong(film, {
    x0: (a.x - before * ux) * pixelsPerMm,
    y0: (a.y - before * uy) * pixelsPerMm,
    x1: (b.x + after * ux) * pixelsPerMm,
    y1: (b.y + after * uy) * pixelsPerMm,
  }).find(({ from, to }) => from === tie.from && to === tie.to);
  return edge && { tie, gap, edge };
}

function settledAs({ tie, gap: [a, b] }: StraightenedTie, turned: Tie): Tie {
  if (turned.cost > tie.cost * WORSE_SHARE + WORSE_MM2) return tie;
  const same = near(turned.gapStart, a) && near(turned.gapEnd, b);
  return same ? { ...turned, gapStart: a, gapEnd: b } : turned;
}

/**
 * What counting pixels under a strip may add to its cost by chance, as a share and in mm² of film: an end that shifts
 * by a pixel.
 */
const WORSE_SHARE = 1.02;
const WORSE_MM2 = 0.3;

/** Two pixels of the raster, in mm: so near, what was found on pixels is the place that was found on the curves. */
const PIXELS_MM = 0.2;

function near(a: Point, b: Point): boolean {
  return Math.hypot(a.x - b.x, a.y - b.y) < PIXELS_MM;
}

/**
 * A way that slants off the shortest by 48° is so many times as long; and what else it may take, in mm, as the pixels of
 * a core lie. Less misses a core behind a corner of the film, more finds others beyond it. By eye.
 */
const SLANTED = 1.5;
const SPARE_MM = 0.5;

/** How far into the film to look for the core: as far as it was, and some more for a slanted way. */
function reach(end: Point, edge: Point): number {
  return SLANTED * Math.hypot(end.x - edge.x, end.y - edge.y) + SPARE_MM;
}

/**
 * How far along the film's edge a better place is looked for, in mm and as a share of the gap: the gap that was found
 * is to stay the same one.
 */
const FAR_MM = 0.6;
const GAP_SHARE = 0.4;
/**
 * Going to and fro over a gap comes nearer each time; it ends when a turn moves the ends by less than a grid step of
 * the polygon library, in mm, or after so many turns.
 */
const MOST_TURNS = 30;
const SETTLED_MM = 1e-4;

/** Two places on the edges of a gap, each the nearest to the other round about; undefined where the tie sees none. */
function nearestGap(
  { gapStart, gapEnd }: Tie,
  edges: SegmentIndex,
): readonly [PointOnSegment, PointOnSegment] | undefined {
  // Within less than half the gap of an end there is only that side of it, never the other one.
  const span = Math.hypot(gapEnd.x - gapStart.x, gapEnd.y - gapStart.y);
  const far = Math.min(FAR_MM, GAP_SHARE * span);
  let a = edges.nearest(gapStart, gapStart, far);
  let b = edges.nearest(gapEnd, gapEnd, far);
  for (let turn = 0; a && b && turn < MOST_TURNS; turn++) {
    const nextA = edges.nearest(b, a, far);
    const nextB: PointOnSegment | undefined = nextA && edges.nearest(nextA, b, far);
    if (!nextA || !nextB) break;
    const moved =
      Math.hypot(nextA.x - a.x, nextA.y - a.y) + Math.hypot(nextB.x - b.x, nextB.y - b.y);
    a = nextA;
    b = nextB;
    if (moved < SETTLED_MM) break;
  }
  return a && b && (a.x !== b.x || a.y !== b.y) ? [a, b] : undefined;
}
