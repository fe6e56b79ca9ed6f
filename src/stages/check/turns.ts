import { cubicOf, curvatureAt, pointAt } from '../../geometry/cubic.js';
import type { Outline } from '../../geometry/shape.js';
import { samplesPerCurve, mostKink, turnInto, turnSlack } from '../../geometry/tight-turns.js';
import { outlinesOf, type Redrawn } from './drawn.js';
import type { Finding } from './finding.js';

/** Promise 3, turns: between marked corners no curve is tighter than the tip can follow. */
export function tightTurns({ shapes, job }: Redrawn): Finding[] {
  if (job.tightestTurn === 0) return [];
  const most = 1 / (turnSlack * job.tightestTurn);
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
    if (outline.corner[i] === 0 && turnInto(outline, i) > mostKink) places.push(pointAt(cubic, 0));
    if (outline.straight[i] === 1) continue;
    for (let k = 0; k <= samplesPerCurve; k++) {
      const t = k / samplesPerCurve;
      if (Math.abs(curvatureAt(cubic, t)) <= mostCurvature) continue;
      places.push(pointAt(cubic, t));
      break;
    }
  }
  return places;
}
