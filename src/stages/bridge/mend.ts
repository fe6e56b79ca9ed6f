import type { Sheet } from '../../settings/card.js';
import { cubicOf, curvatureAt, pointAt, speedAt } from '../../geometry/cubic.js';
import { findNecks, type Neck } from '../../geometry/necks.js';
import type { Outline, Point, Shape } from '../../geometry/shape.js';
import { insideOfMargin, type Bounds } from '../../geometry/bounding-box.js';
import { distance, midpoint } from '../../geometry/points.js';
import { comesNear, roomBehind, displaced, type Push } from '../../geometry/displacement.js';
import { samplesPerCurve } from '../../geometry/tight-turns.js';
import type { Job } from '../../settings/job.js';
import { widthLimitsOf } from '../../settings/width-limits.js';

export type MendSettings = Pick<
  Job,
  'narrowestStrip' | 'narrowestOpening' | 'margin' | 'tightestTurn'
> &
  Partial<Pick<Job, 'fold'>>;

/** The openings with their necks mended, and the necks that could not be. */
export interface Mended {
  readonly openings: readonly Shape[];
  readonly left: readonly Neck[];
}

/** What is short of its limit by more is mended, in mm; the check lets a little more pass. */
const MENDED_FROM_MM = 0.02;
/** So much wider than its limit a neck is made, in mm. */
const OVER_MM = 0.01;
/** An opening that is short by a larger share of its limit is no slight waist, and is left to be closed. */
const DEEPEST = 0.25;
/**
 * Rounds of pushing. Two necks can stand against each other, what one gains the other loses; each round a little less
 * is lost.
 */
const MOST_ROUNDS = 10;
/**
 * So often all is begun again without those necks whose mending bends an outline too tightly: each try takes time, and
 * what is left after the last is closed by strips.
 */
const MOST_TRIES = 4;

/**
 * Moves outlines apart where film or an opening is a little narrower than its limit: what easing took, or a bridge that
 * came to lie beside an opening.
 */
export function mend(openings: readonly Shape[], sheet: Sheet, job: MendSettings): Mended {
  const given: Neck[] = [];
  for (let tries = 1; ; tries++) {
    const { shapes, pushed, short } = widened(openings, given, sheet, job);
    const bent = tightened(openings, shapes, pushed, job);
    if (bent.length === 0) return { openings: shapes, left: [...given, ...short] };
    if (tries === MOST_TRIES) return { openings, left: short };
    given.push(...bent);
  }
}

interface MendedNecks {
  readonly shapes: readonly Shape[];
  readonly pushed: readonly Pushed[];
  /** What is short in the end. */
  readonly short: readonly Neck[];
}

interface Pushed {
  readonly neck: Neck;
  readonly push: Push;
}

/** @param given necks that are not to be mended */
function widened(
  openings: readonly Shape[],
  given: readonly Neck[],
  sheet: Sheet,
  job: MendSettings,
): MendedNecks {
  const limits = widthLimitsOf(job);
  const box = insideOfMargin(sheet, job.margin);
  const pushed: Pushed[] = [];
  let shapes = openings;
  let best: MendedNecks | undefined;
  let least = Infinity;
  for (let round = 0; ; round++) {
    const short = findNecks(shapes, sheet, limits)
      .filter(({ region, widthMm }) => widthMm < limits[region] - MENDED_FROM_MM)
      .filter((neck) => !given.some((other) => isNear(neck, other)));
    const lack = short.reduce((sum, { region, widthMm }) => sum + limits[region] - widthMm, 0);
    if (best === undefined || lack < least) {
      best = { shapes, pushed: [...pushed], short };
      least = lack;
    }
    const mendable = short.filter(
      ({ region, widthMm }) =>
        widthMm > 0 && (region === 'film' || widthMm > (1 - DEEPEST) * limits.opening),
    );
    if (mendable.length === 0 || round === MOST_ROUNDS) return best;
    const now = mendable.map((neck) => {
      const byMm = limits[neck.region] + OVER_MM - neck.widthMm;
      return { neck, push: pushFor(neck, byMm, shapes, box, job) };
    });
    pushed.push(...now);
    const pushes = now.map(({ push }) => push);
    shapes = shapes.map((shape) => spreadShape(shape, pushes, box));
  }
}

/**
 * Two finds no further apart, in mm, are of one neck, or of one bend: the next one lies a narrowest strip or opening
 * away at the least.
 */
const SAME_PLACE_MM = 1;

function isNear(a: Neck, b: Neck): boolean {
  return a.region === b.region && distance(middleOf(a), middleOf(b)) < SAME_PLACE_MM;
}

const middleOf = ({ from, to }: Pick<Neck, 'from' | 'to'>): Point => midpoint(from, to);

function spreadShape(shape: Shape, pushes: readonly Push[], box: Bounds): Shape {
  const outer = displaced(shape.outer, pushes, box);
  const holes = shape.holes.map((hole) => displaced(hole, pushes, box));
  const isSame = outer === shape.outer && holes.every((hole, k) => hole === shape.holes[k]);
  return isSame ? shape : { outer, holes };
}

/** Turns that are tighter than they may be by so much in all, in radians, are not felt. */
const UNFELT = 0.002;

/** The way of moving a neck's sides that bends the outlines least beyond what the tip can follow. */
function pushFor(
  neck: Neck,
  byMm: number,
  shapes: readonly Shape[],
  box: Bounds,
  job: MendSettings,
): Push {
  const [first, ...others] = waysToPush(neck, byMm, box, job);
  const furthest = others.at(-1) ?? first;
  const near = shapes.flatMap(outlinesOf).filter(({ coords }) => comesNear(coords, furthest));
  let best = first;
  let least = tighterBy(near, first, box, job);
  for (const push of others) {
    if (least < UNFELT) break;
    const worse = tighterBy(near, push, box, job);
    if (worse < least) [best, least] = [push, worse];
  }
  return best;
}

/**
 * A push over a reach adds up to 4 · move / reach² to an outline's curvature. That is a fifteenth of the tightest turn's own
 * curvature where reach² is 60 times its radius times the move.
 */
const REACH_FOR_BEND = 60;
/** Bounds for the reach, in mm: no shorter than a strip is wide, and no further than a neighbouring neck may lie. A judgement, not measured. */
const LEAST_REACH_MM = 2;
const MOST_REACH_MM = 8;
/** The reach is so many times as far where the first one bends an outline too tightly: it bends then by two fifths of that. */
const FURTHER = 1.6;
/** A side to which the margin leaves a smaller share of its move takes none: the other takes it all. */
const LEAST_ROOM = 0.2;

/** Both sides moved, as far as the margin leaves each room; either one alone; then the same with a larger reach. */
function waysToPush(
  { from, to }: Neck,
  byMm: number,
  box: Bounds,
  { tightestTurn }: MendSettings,
): readonly [Push, ...Push[]] {
  const wanted = Math.sqrt(REACH_FOR_BEND * byMm * tightestTurn);
  const least = Math.max(LEAST_REACH_MM, Math.min(MOST_REACH_MM, wanted));
  const ways = [least, FURTHER * least].flatMap((reachMm) => {
    const behind = [roomBehind(from, to, reachMm, box), roomBehind(to, from, reachMm, box)];
    const [a, b] = behind.map((room) => (room < LEAST_ROOM ? 0 : room));
    const share = a + b > 0 ? a / (a + b) : 0.5;
    return [share, ...(a * b > 0 ? [1, 0] : [])].map((one): Push => {
      return { from, to, fromBy: one * byMm, toBy: (1 - one) * byMm, reachMm };
    });
  });
  return ways as [Push, ...Push[]];
}

/** By how much more the outlines turn than the tip can follow when they are pushed, in radians. */
function tighterBy(
  outlines: readonly Outline[],
  push: Push,
  box: Bounds,
  { tightestTurn }: MendSettings,
): number {
  if (tightestTurn === 0) return 0;
  let worse = 0;
  for (const outline of outlines) {
    const moved = displaced(outline, [push], box);
    if (moved === outline) continue;
    const more = excess(moved, push, tightestTurn) - excess(outline, push, tightestTurn);
    worse += Math.max(0, more);
  }
  return worse;
}

function outlinesOf({ outer, holes }: Shape): readonly Outline[] {
  return [outer, ...holes];
}

/** The share of the tightest radius that mending goes down to: the check lets a little less pass. */
const TURN_SHARE = 0.92;

/** By how much an outline turns more tightly near a push than a radius allows, in radians. */
function excess(outline: Outline, push: Push, radiusMm: number): number {
  let sum = 0;
  for (let i = 0; i < outline.straight.length; i++) {
    if (outline.straight[i] === 1) continue;
    const cubic = cubicOf(outline, i);
    if (!comesNear(cubic, push)) continue;
    for (let k = 0; k <= samplesPerCurve; k++) {
      const t = k / samplesPerCurve;
      const over = Math.abs(curvatureAt(cubic, t)) - 1 / (TURN_SHARE * radiusMm);
      if (over > 0) sum += (over * speedAt(cubic, t)) / samplesPerCurve;
    }
  }
  return sum;
}

/** The necks whose mending has bent an outline more tightly than the tip can follow. */
function tightened(
  before: readonly Shape[],
  after: readonly Shape[],
  pushed: readonly Pushed[],
  { tightestTurn }: MendSettings,
): Neck[] {
  if (tightestTurn === 0 || pushed.length === 0) return [];
  const least = TURN_SHARE * tightestTurn;
  const known = new Set(before.flatMap(outlinesOf));
  const bent = after.flatMap(outlinesOf).filter((outline) => !known.has(outline));
  if (bent.length === 0) return [];
  const were = before.flatMap(outlinesOf).flatMap((outline) => tightPlaces(outline, least));
  const causes = bent
    .flatMap((outline) => tightPlaces(outline, least))
    .filter((place) => !were.some((was) => distance(was, place) < SAME_PLACE_MM))
    .map((place) => {
      const far = ({ push }: Pushed): number => distance(middleOf(push), place) / push.reachMm;
      return pushed.reduce((a, b) => (far(b) < far(a) ? b : a)).neck;
    });
  return causes.filter((neck, k) => causes.findIndex((other) => isNear(neck, other)) === k);
}

function tightPlaces(outline: Outline, radiusMm: number): Point[] {
  const places: Point[] = [];
  for (let i = 0; i < outline.straight.length; i++) {
    if (outline.straight[i] === 1) continue;
    const cubic = cubicOf(outline, i);
    for (let k = 0; k <= samplesPerCurve; k++) {
      if (Math.abs(curvatureAt(cubic, k / samplesPerCurve)) <= 1 / radiusMm) continue;
      const [x, y] = pointAt(cubic, k / samplesPerCurve);
      places.push({ x, y });
      break;
    }
  }
  return places;
}
