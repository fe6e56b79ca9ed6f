import { boxIndex } from './box-index.js';
import type { Point } from './shape.js';

/** A place on a side of one of several polygons. */
export interface PointOnSegment extends Point {
  readonly polygon: number;
  /** Counts the polygon's points from 0, with the fraction of the way to the next. */
  readonly at: number;
  /** From the point that was asked about, in mm. */
  readonly distance: number;
}

/** The sides of polygons, to find those near a place. */
export interface SegmentIndex {
  /** The place on a side that is nearest to `to`, of the places within `reach` mm of `around` in x and in y. */
  nearest(to: Point, around: Point, reach: number): PointOnSegment | undefined;
}

/** The side of a cell of the index: about the reach of a search, and longer than most sides of polygons. */
const CELL_MM = 1;

/** @param polygons x, y pairs in mm, the first point not repeated */
export function segmentIndex(polygons: readonly Float64Array[]): SegmentIndex {
  const count = polygons.reduce((sum, polygon) => sum + polygon.length / 2, 0);
  const polygonOf = new Int32Array(count);
  const startOf = new Int32Array(count);
  const boxes = new Float64Array(4 * count);
  let side = 0;
  polygons.forEach((points, polygon) => {
    for (let i = 0; i < points.length; i += 2, side++) {
      const j = (i + 2) % points.length;
      polygonOf[side] = polygon;
      startOf[side] = i;
      boxes[4 * side] = Math.min(points[i], points[j]);
      boxes[4 * side + 1] = Math.min(points[i + 1], points[j + 1]);
      boxes[4 * side + 2] = Math.max(points[i], points[j]);
      boxes[4 * side + 3] = Math.max(points[i + 1], points[j + 1]);
    }
  });
  const index = boxIndex(boxes, CELL_MM);
  return {
    nearest(to, around, reach) {
      let best: PointOnSegment | undefined;
      index.near(around.x - reach, around.y - reach, around.x + reach, around.y + reach, (near) => {
        const polygon = polygonOf[near];
        const place = nearestOnSide(polygons[polygon], startOf[near], polygon, to);
        if (Math.abs(place.x - around.x) > reach || Math.abs(place.y - around.y) > reach) return;
        if (!best || place.distance < best.distance) best = place;
      });
      return best;
    },
  };
}

function nearestOnSide(
  points: Float64Array,
  i: number,
  polygon: number,
  to: Point,
): PointOnSegment {
  const j = (i + 2) % points.length;
  const dx = points[j] - points[i];
  const dy = points[j + 1] - points[i + 1];
  const along = (to.x - points[i]) * dx + (to.y - points[i + 1]) * dy;
  const f = Math.max(0, Math.min(1, along / (dx * dx + dy * dy || 1)));
  const x = points[i] + f * dx;
  const y = points[i + 1] + f * dy;
  const at = (i / 2 + f) % (points.length / 2);
  return { polygon, at, x, y, distance: Math.hypot(x - to.x, y - to.y) };
}
