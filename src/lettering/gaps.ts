import { boundsOfLoops, type Bounds } from '../geometry/bounding-box.js';
import { isInside } from '../geometry/boolean-operations.js';
import { segmentToSegment } from '../geometry/segment.js';
import type { Point } from '../geometry/shape.js';

/** How far apart two boxes are, across or down, whichever is more. */
export function boxGap(a: Bounds, b: Bounds): number {
  return Math.max(a.left - b.right, b.left - a.right, a.top - b.bottom, b.top - a.bottom);
}

/** The shortest way from one set of loops to another; 0 where they cross, and `most` where it is longer. */
export function gapBetween(
  a: readonly Float64Array[],
  b: readonly Float64Array[],
  most: number,
): number {
  let least = most;
  for (const one of a) {
    for (const other of b) {
      least = Math.min(least, loopGap(one, other, least));
      if (least === 0) return 0;
    }
  }
  return least;
}

function loopGap(a: Float64Array, b: Float64Array, most: number): number {
  let least = most;
  for (let i = 0; i < a.length; i += 2) {
    const [p, q] = sideOf(a, i);
    const [left, right] = [Math.min(p.x, q.x) - least, Math.max(p.x, q.x) + least];
    const [top, bottom] = [Math.min(p.y, q.y) - least, Math.max(p.y, q.y) + least];
    for (let k = 0; k < b.length; k += 2) {
      const j = (k + 2) % b.length;
      if ((b[k] < left && b[j] < left) || (b[k] > right && b[j] > right)) continue;
      if ((b[k + 1] < top && b[j + 1] < top) || (b[k + 1] > bottom && b[j + 1] > bottom)) continue;
      least = Math.min(least, segmentToSegment(p, q, ...sideOf(b, k)));
      if (least === 0) return 0;
    }
  }
  return least;
}

function sideOf(loop: Float64Array, i: number): [Point, Point] {
  const j = (i + 2) % loop.length;
  return [
    { x: loop[i], y: loop[i + 1] },
    { x: loop[j], y: loop[j + 1] },
  ];
}

/** Along an edge one looks so many times a reach. */
const LOOKS_A_REACH = 2;

/** How long the edge of some loops is that lies within others, or within a reach of them. */
export function edgeWithin(
  loops: readonly Float64Array[],
  others: readonly Float64Array[],
  reach: number,
): number {
  const box = boundsOfLoops(others);
  let length = 0;
  for (const loop of loops) {
    for (let i = 0; i < loop.length; i += 2) {
      const [from, to] = sideOf(loop, i);
      const isAway =
        Math.max(from.x, to.x) < box.left - reach || Math.min(from.x, to.x) > box.right + reach;
      if (isAway) continue;
      const whole = Math.hypot(to.x - from.x, to.y - from.y);
      const looks = Math.max(1, Math.ceil((LOOKS_A_REACH * whole) / reach));
      for (let k = 0; k < looks; k++) {
        const share = (k + 0.5) / looks;
        const [x, y] = [from.x + share * (to.x - from.x), from.y + share * (to.y - from.y)];
        const isNear =
          others.some((other) => isInside(other, x, y)) ||
          gapBetween([Float64Array.of(x, y)], others, reach) < reach;
        if (isNear) length += whole / looks;
      }
    }
  }
  return length;
}
