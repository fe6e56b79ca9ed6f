import type { Spot } from './lens.js';

/** Whether a place lies inside a path of SVG. */
export function isInside(path: string, { x, y }: Spot, rule: CanvasFillRule): boolean {
  const context = document.createElement('canvas').getContext('2d');
  return context?.isPointInPath(new Path2D(path), x, y, rule) ?? false;
}
