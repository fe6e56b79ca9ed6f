import { cubicOf, curvatureAt, pointAt } from '../../geometry/cubic.js';
import type { Outline } from '../../geometry/shape.js';
import { outlinesOf, type Drawn } from './drawn.js';
import type { Finding } from './finding.js';

/** Turns are measured at even parameters, not at their very tightest: this share of the radius is let through. */
const TURN_SLACK = 0.9;
const LOOKS_PER_CURVE = 16;

/** A kink that a hand does not notice, in radians (10°). */
const MOST_KINK = (10 * Math.PI) / 180;

/** Promise 3, turns: between marked corners no curve is tighter than the tip can follow. */
export function tightTurns({ shapes, job }: Drawn): Finding[] {
  if (job.tightestTurn === 0) return [];
  const most = 1 / (TURN_SLACK * job.tightestTurn);
  return shapes.flatMap(outlinesOf).flatMap((outline) =>
    tightPlaces(outline, most).map((at): Finding => ({
      level: 'error',
      code: 'tight-turn',
      message: `A curve turns more tightly than a radius of ${job.tightestTurn} mm.`,
      at,
    })),
  );
}

function tightPlaces(outline: Outline, mostCurvature: number): (readonly [number, number])[] {
  const places: (readonly [number, number])[] = [];
  for (let i = 0; i < outline.straight.length; i++) {
    const cubic = cubicOf(outline, i);
    if (outline.corner[i] === 0 && turnInto(outline, i) > MOST_KINK) places.push(pointAt(cubic, 0));
    if (outline.straight[i] === 1) continue;
    for (let k = 0; k <= LOOKS_PER_CURVE; k++) {
      const t = k / LOOKS_PER_CURVE;
      if (Math.abs(curvatureAt(cubic, t)) <= mostCurvature) continue;
      places.push(pointAt(cubic, t));
      break;
    }
  }
  return places;
}

/** The angle, in radians, by which an outline turns at the start of its curve i. */
function turnInto(outline: Outline, i: number): number {
  const curves = outline.straight.length;
  const before = cubicOf(outline, (i + curves - 1) % curves);
  const here = cubicOf(outline, i);
  const end = pointAt(before, 0.999);
  const start = pointAt(here, 0.001);
  const [x, y] = here;
  const [ax, ay] = [x - end[0], y - end[1]];
  const [bx, by] = [start[0] - x, start[1] - y];
  return Math.abs(Math.atan2(ax * by - ay * bx, ax * bx + ay * by));
}
