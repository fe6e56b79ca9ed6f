import { hypot } from './math';
import { isOpen, mattersAt } from './film';

/**
 * How much of each of `n` lines lies in openings, in px, each place as it matters; of lines that cross as much, the
 * shorter one has a little less.
 *
 * @param lines x0, y0, x1, y1 by turns, in px
 */
export function openAlong(lines: StaticArray<f64>, n: i32, open: StaticArray<f64>): void {
  for (let k = 0; k < n; k++) {
    const x0 = lines[4 * k];
    const y0 = lines[4 * k + 1];
    const x1 = lines[4 * k + 2];
    const y1 = lines[4 * k + 3];
    const length = hypot(x1 - x0, y1 - y0);
    const steps = ceil(length);
    let sum: f64 = 0;
    for (let i: f64 = 1; i < steps; i++) {
      const x = x0 + ((x1 - x0) * i) / steps;
      const y = y0 + ((y1 - y0) * i) / steps;
      if (isOpen(x, y)) sum += mattersAt(x, y);
    }
    open[k] = sum + 1e-3 * length;
  }
}
