import * as kernels from '../kernels/generated.js';
import { gaussianBlur } from './blur.js';
import type { Field } from './field.js';
import { pointwise } from './pointwise.js';

/** The wider Gaussian over the narrower: near the Laplacian of a Gaussian (Marr & Hildreth 1980). */
const RATIO = 1.6;

/**
 * How wide a hairline comes out of a difference of Gaussians, in σ of the narrower: the distance between its
 * two zero crossings, 2 √(2 ln r · r² / (r² − 1)) for a ratio r.
 */
export const HAIRLINE_WIDTH = 2 * Math.sqrt((2 * Math.log(RATIO) * RATIO ** 2) / (RATIO ** 2 - 1));

/**
 * A blurred picture with its lines and edges raised: the blur plus `strength` times the difference between it
 * and a wider one. Flat parts keep their value, dark lines get darker and light ones lighter.
 *
 * H. Winnemöller, J. E. Kyprianidis & S. C. Olsen, XDoG: an extended difference-of-Gaussians compendium
 * including advanced image stylization, Computers & Graphics 36(6), 2012, equation 7. Before it is multiplied,
 * the difference is drawn `core` nearer to zero, which silences grain: soft thresholding, D. L. Donoho &
 * I. M. Johnstone, Ideal spatial adaptation by wavelet shrinkage, Biometrika 81(3), 1994.
 *
 * @param sigma of the narrower Gaussian, in pixels
 * @param strength how much the lines are raised; 0 is a plain blur
 * @param core differences up to this many levels count as grain
 */
export function sharpened(field: Field, sigma: number, strength: number, core: number): Field {
  const { near, lines } = lineResponse(field, sigma, core);
  for (let i = 0; i < near.data.length; i++) near.data[i] += strength * lines.data[i];
  return near;
}

/** The two parts of `sharpened`: the blurred picture, and the difference that raises its lines, grain silenced. */
export function lineResponse(
  field: Field,
  sigma: number,
  core: number,
): { readonly near: Field; readonly lines: Field } {
  const near = gaussianBlur(field, sigma);
  const wide = gaussianBlur(field, RATIO * sigma);
  const data = pointwise(wide.data, [near.data], (values, [fine], n) =>
    kernels.differ(values, fine, n, core),
  );
  return { near, lines: { ...wide, data } };
}

/**
 * The soft threshold of the same paper (equation 5, soft on both sides and centred): near −1 well below the
 * level, 0 at it, near 1 well above.
 *
 * @param levels one level for each pixel, or one for all
 * @param softness how far from the level, in levels, half of the way to ±1 is gone
 */
export function softThreshold(field: Field, levels: Field | number, softness: number): Field {
  const { width, height } = field;
  const each =
    typeof levels === 'number' ? new Float32Array(field.data.length).fill(levels) : levels.data;
  const data = pointwise(field.data, [each], (values, [level], n) =>
    kernels.soften(values, level, n, softness),
  );
  return { width, height, data };
}
