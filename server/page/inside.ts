import type { ViewPoint } from './viewport.js';

/** Whether a place lies inside a path of SVG. */
export function isInsidePath(path: string, { x, y }: ViewPoint, rule: CanvasFillRule): boolean {
  const context = document.createElement('canvas').getContext('2d');
  return context?.isPointInPath(new Path2D(path), x, y, rule) ?? false;
}
