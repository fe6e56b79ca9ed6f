import { flatten } from './flatten.js';
import type { Outline } from './shape.js';

/** A closed chain of points in mm. */
export interface Chain {
  readonly x: Float64Array;
  readonly y: Float64Array;
}

/** How far the points may lie off the curves, in mm: a quarter of the least that a corner's side may wander by. */
const FLATNESS_MM = 0.005;

/**
 * An outline as points at even steps along it.
 *
 * @param stepMm the step that is aimed at; the real one divides the outline evenly
 * @param fewest the least number of points
 */
export function chainOf(outline: Outline, stepMm: number, fewest: number): Chain {
  const points = flatten(outline, FLATNESS_MM);
  const n = points.length / 2;
  const x = new Float64Array(n + 1);
  const y = new Float64Array(n + 1);
  for (let i = 0; i <= n; i++) {
    x[i] = points[2 * (i % n)];
    y[i] = points[2 * (i % n) + 1];
  }
  const steps = Math.max(fewest, Math.round(chainLength(x, y) / stepMm));
  const even = evenly(x, y, steps);
  return { x: even.x.subarray(0, steps), y: even.y.subarray(0, steps) };
}

/** Points at even steps along an open chain: steps + 1 of them, both ends included. */
export function evenly(x: Float64Array, y: Float64Array, steps: number): Chain {
  const last = x.length - 1;
  const step = chainLength(x, y) / steps;
  const evenX = new Float64Array(steps + 1);
  const evenY = new Float64Array(steps + 1);
  let i = 0;
  let passed = 0;
  let span = Math.hypot(x[1] - x[0], y[1] - y[0]);
  for (let k = 0; k < steps; k++) {
    while (passed + span < k * step && i + 2 <= last) {
      passed += span;
      i++;
      span = Math.hypot(x[i + 1] - x[i], y[i + 1] - y[i]);
    }
    const share = span > 0 ? Math.min(1, (k * step - passed) / span) : 0;
    evenX[k] = x[i] + share * (x[i + 1] - x[i]);
    evenY[k] = y[i] + share * (y[i + 1] - y[i]);
  }
  evenX[steps] = x[last];
  evenY[steps] = y[last];
  return { x: evenX, y: evenY };
}

/** The length of an open chain. */
export function chainLength(x: ArrayLike<number>, y: ArrayLike<number>): number {
  let length = 0;
  for (let i = 1; i < x.length; i++) length += Math.hypot(x[i] - x[i - 1], y[i] - y[i - 1]);
  return length;
}
