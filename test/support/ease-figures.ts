import { cubicOf, pointAt } from '../../src/geometry/cubic.js';
import type { Outline, Point, Shape } from '../../src/geometry/shape.js';
import type { Job } from '../../src/settings/job.js';
import type { Sheet } from '../../src/settings/card.js';
import { findNecks } from '../../src/geometry/necks.js';
import { halfCovered } from '../../src/geometry/coverage.js';
import { openingsBoxOf } from '../../src/geometry/clearance.js';
import { flatten } from '../../src/geometry/flatten.js';
import { countDifferent } from '../../src/raster/count.js';
import { ease, easeHeuristics, type EaseHeuristics } from '../../src/stages/ease/ease.js';
import type { Traced } from '../../src/stages/trace/trace.js';
import { outlinesOf, tightestWithin } from './outlines.js';

/** What eased outlines are judged by; the less the better. */
export interface EaseFigures {
  readonly curves: number;
  /** Places where the tip stops and turns. */
  readonly corners: number;
  /** The area that is other than what was traced, in mm². */
  readonly offMm2: number;
  /** Places where film or an opening is narrower than its limit by more than 0.02 mm. */
  readonly narrow: number;
  /** Points of film so sharp that they curl or break, under 45°. */
  readonly sharpTips: number;
  /** Outlines that turn more tightly somewhere than the tool can follow. */
  readonly tight: number;
  /** How far outlines reach beyond the box of what was traced, in mm, at most. */
  readonly beyondMm: number;
}

export interface EaseGround {
  readonly traced: Traced;
  readonly sheet: Sheet;
  readonly pixelsPerMm: number;
  readonly job: Job;
}

const SHORT_MM = 0.02;
/** The sides of such a point, so far from its end, in mm. */
const TIP = (45 * Math.PI) / 180;
const TIP_MM = 0.28;
/** Turns are looked at between those places at which they were measured, too. */
const TURN_SLACK = 0.88;

/** Eases outlines by some of the heuristics, and judges them. */
export function easeFigures(
  { traced, sheet, pixelsPerMm, job }: EaseGround,
  without: Partial<EaseHeuristics> = {},
): EaseFigures {
  const { shapes, curves, corners } = ease(traced, pixelsPerMm, job, {
    ...easeHeuristics,
    ...without,
  });
  const { bitmap } = traced;
  const limits = { film: job.narrowestStrip, opening: job.narrowestOpening };
  const drawn = halfCovered(shapes, bitmap.width, bitmap.height, pixelsPerMm);
  const outlines = outlinesOf(shapes);
  const openingsBox = openingsBoxOf(bitmap, pixelsPerMm);
  return {
    curves,
    corners,
    offMm2: countDifferent(drawn, bitmap) / pixelsPerMm ** 2,
    narrow: findNecks(shapes, sheet, limits).filter(
      ({ region, widthMm }) => widthMm < limits[region] - SHORT_MM,
    ).length,
    sharpTips: outlines.reduce((sum, outline) => sum + sharpTips(outline), 0),
    tight: outlines.filter((outline) => tightestWithin(outline) * job.tightestTurn > 1 / TURN_SLACK)
      .length,
    beyondMm: Math.max(0, ...outlines.map((outline) => beyond(outline, openingsBox))),
  };
}

/** The marked corners of openings. */
export function marksIn(shapes: readonly Shape[]): number {
  return outlinesOf(shapes).reduce(
    (sum, { corner }) => sum + corner.reduce((marks, flag) => marks + flag, 0),
    0,
  );
}

/** Openings lie to the left of their outlines: a sharp turn to the right goes round a point of film. */
function sharpTips(outline: Outline): number {
  const count = outline.straight.length;
  let tips = 0;
  for (let i = 0; i < count; i++) {
    if (outline.corner[i] === 0) continue;
    const tip = { x: outline.coords[6 * i], y: outline.coords[6 * i + 1] };
    const before = wayOff(cubicOf(outline, (i + count - 1) % count), tip, [...LOOKS].reverse());
    const after = wayOff(cubicOf(outline, i), tip, LOOKS);
    if (!before || !after) continue;
    const [ux, uy] = [tip.x - before.x, tip.y - before.y];
    const [vx, vy] = [after.x - tip.x, after.y - tip.y];
    if (Math.atan2(ux * vy - uy * vx, ux * vx + uy * vy) < TIP - Math.PI) tips++;
  }
  return tips;
}

const LOOKS = Array.from({ length: 65 }, (_, k) => k / 64);

/** The first place of a curve that is so far from a tip. */
function wayOff(cubic: Float64Array, tip: Point, along: readonly number[]): Point | undefined {
  return along
    .map((t) => pointAt(cubic, t))
    .map(([x, y]) => ({ x, y }))
    .find(({ x, y }) => Math.hypot(x - tip.x, y - tip.y) >= TIP_MM);
}

function beyond(
  outline: Outline,
  { left, top, right, bottom }: ReturnType<typeof openingsBoxOf>,
): number {
  const points = flatten(outline, 0.002);
  let most = 0;
  for (let i = 0; i < points.length; i += 2) {
    const [x, y] = [points[i], points[i + 1]];
    most = Math.max(most, left - x, top - y, x - right, y - bottom);
  }
  return most;
}
