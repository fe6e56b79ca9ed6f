import { stampDisc } from './stamp.js';

/** From disc to disc along a line, px: what lies between their edges is less than a hundredth of a pixel. */
const STEP = 0.5;

/**
 * Sets every pixel whose centre lies within a radius of a line of points.
 *
 * @param data one byte a pixel, row by row; written to
 * @param x places in px from the raster's top left corner, so that pixel 0 has its centre at 0.5; `y` likewise
 * @param radius in px
 */
export function stampLine(
  data: Uint8Array,
  width: number,
  height: number,
  x: ArrayLike<number>,
  y: ArrayLike<number>,
  radius: number,
): void {
  for (let i = 0; i < x.length; i++) {
    const j = Math.max(0, i - 1);
    const steps = Math.max(1, Math.ceil(Math.hypot(x[i] - x[j], y[i] - y[j]) / STEP));
    for (let k = 1; k <= steps; k++) {
      const share = k / steps;
      const [cx, cy] = [x[j] + share * (x[i] - x[j]), y[j] + share * (y[i] - y[j])];
      stampDisc(data, width, height, cx - 0.5, cy - 0.5, radius, 1);
    }
  }
}
