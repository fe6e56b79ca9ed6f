import type { Field } from './field.js';

/** Mean and standard deviation of the values round each pixel. */
export interface LocalMean {
  readonly mean: Field;
  readonly deviation: Field;
}

/**
 * Mean and standard deviation in the square window round each pixel; at the border, in the part of the window
 * that lies within the picture. Takes the same time for any window.
 *
 * F. C. Crow, Summed-area tables for texture mapping, SIGGRAPH 1984; used for thresholds by F. Shafait,
 * D. Keysers & T. M. Breuel, Efficient implementation of local adaptive thresholding techniques using
 * integral images, Document Recognition and Retrieval XV, 2008.
 *
 * @param reach pixels from the window's middle to its edge: the window is 2 `reach` + 1 wide
 */
export function localMean(field: Field, reach: number): LocalMean {
  const { width, height } = field;
  const { sums, squares } = summedAreas(field);
  const mean = new Float32Array(width * height);
  const deviation = new Float32Array(width * height);
  const stride = width + 1;
  for (let y = 0; y < height; y++) {
    const above = Math.max(y - reach, 0);
    const below = Math.min(y + reach + 1, height);
    for (let x = 0; x < width; x++) {
      const left = Math.max(x - reach, 0);
      const right = Math.min(x + reach + 1, width);
      const a = above * stride + left;
      const b = above * stride + right;
      const c = below * stride + left;
      const d = below * stride + right;
      const count = (below - above) * (right - left);
      const middle = (sums[d] - sums[b] - sums[c] + sums[a]) / count;
      const square = (squares[d] - squares[b] - squares[c] + squares[a]) / count;
      mean[y * width + x] = middle;
      deviation[y * width + x] = Math.sqrt(Math.max(square - middle * middle, 0));
    }
  }
  return { mean: { width, height, data: mean }, deviation: { width, height, data: deviation } };
}

/** Sums of values, and of their squares, over everything above and to the left; the first row and column are 0. */
function summedAreas({ width, height, data }: Field): {
  readonly sums: Float64Array;
  readonly squares: Float64Array;
} {
  const stride = width + 1;
  const sums = new Float64Array(stride * (height + 1));
  const squares = new Float64Array(stride * (height + 1));
  for (let y = 0; y < height; y++) {
    let sum = 0;
    let square = 0;
    for (let x = 0; x < width; x++) {
      const value = data[y * width + x];
      sum += value;
      square += value * value;
      const at = (y + 1) * stride + x + 1;
      sums[at] = sums[at - stride] + sum;
      squares[at] = squares[at - stride] + square;
    }
  }
  return { sums, squares };
}

/** The largest standard deviation that values from 0 to 255 can have: the paper's R. */
const LARGEST_DEVIATION = 128;

/**
 * The level at each pixel, from what is round it: mean · (1 + k · (deviation / R − 1)). On bare paper, where
 * little varies, the level lies the share `k` under the paper, so that neither grain nor shadow reaches it.
 *
 * J. Sauvola & M. Pietikäinen, Adaptive document image binarization, Pattern Recognition 33(2), 2000,
 * equation 5.
 *
 * @param reach pixels from the window's middle to its edge
 * @param k 0 to 1
 */
export function sauvolaLevels(field: Field, reach: number, k: number): Field {
  const { mean, deviation } = localMean(field, reach);
  const { data } = mean;
  for (let i = 0; i < data.length; i++) {
    data[i] *= 1 + k * (deviation.data[i] / LARGEST_DEVIATION - 1);
  }
  return mean;
}
