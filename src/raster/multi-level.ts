import type { Histogram } from './histogram.js';

/**
 * The levels that part a histogram into `count` + 1 classes with the largest variance between them, each the highest
 * value of its class, from the darkest class on. With `count` 1 it parts like Otsu's method.
 *
 * P.-S. Liao, T.-S. Chen & P.-C. Chung, A fast algorithm for multilevel thresholding, Journal of Information Science
 * and Engineering 17, 2001: the variance between classes is a sum of one term a class (their equation 10), looked up
 * from running sums. Here the best sum is found by dynamic programming over the classes' ends, which tries all of them.
 *
 * @returns fewer levels where fewer values are in use
 */
export function otsuLevels(histogram: Histogram, count: number): number[] {
  const values = [...histogram.keys()].filter((value) => histogram[value] > 0);
  const levels = Math.min(count, values.length - 1);
  if (levels < 1) return [];
  const { mass, moment } = runningSums(histogram, values);
  const term = (from: number, to: number): number =>
    (moment[to] - moment[from]) ** 2 / (mass[to] - mass[from]);
  const n = values.length;
  let best = Float64Array.from({ length: n + 1 }, (_, end) => (end === 0 ? 0 : term(0, end)));
  const cuts: Int32Array[] = [];
  for (let classes = 2; classes <= levels + 1; classes++) {
    const next = new Float64Array(n + 1).fill(-Infinity);
    const cut = new Int32Array(n + 1);
    for (let end = classes; end <= n; end++) {
      for (let start = classes - 1; start < end; start++) {
        const sum = best[start] + term(start, end);
        if (sum <= next[end]) continue;
        next[end] = sum;
        cut[end] = start;
      }
    }
    best = next;
    cuts.push(cut);
  }
  const found: number[] = [];
  for (let end = n, k = cuts.length - 1; k >= 0; k--) {
    end = cuts[k][end];
    found.unshift(middle(values[end - 1], values[end]));
  }
  return found;
}

/** Between two values with nothing in between all levels part alike: the middle one. */
function middle(last: number, first: number): number {
  return Math.floor((last + first - 1) / 2);
}

function runningSums(
  histogram: Histogram,
  values: readonly number[],
): { readonly mass: Float64Array; readonly moment: Float64Array } {
  const mass = new Float64Array(values.length + 1);
  const moment = new Float64Array(values.length + 1);
  values.forEach((value, k) => {
    mass[k + 1] = mass[k] + histogram[value];
    moment[k + 1] = moment[k] + histogram[value] * value;
  });
  return { mass, moment };
}
