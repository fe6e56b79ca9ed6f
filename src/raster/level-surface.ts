import type { Contours } from './contours.js';
import type { Field } from './field.js';
import { wideBlur } from './wide-blur.js';

/** A contour that runs through the middle of a neighbourhood outweighs what is known from farther off by this much. */
const OWN_OVER_WIDER = 5;

/**
 * The level at each pixel that lets the outline run along the picture's contours: on a contour it is the picture's
 * own value there, half way from dark to light, and between contours it follows the nearest ones.
 *
 * S. D. Yanowitz & A. M. Bruckstein, A new method for image segmentation, Computer Vision, Graphics, and Image
 * Processing 46(1), 1989. There the surface is stretched between the contours by relaxation; here it is their weighted
 * mean, from wide neighbourhoods to narrow ones, each of which keeps the wider one's level where it has no contour.
 *
 * @param field calmed to the scale of the contours
 * @param sigmas of the neighbourhoods in px, from the widest to the narrowest
 * @param level for a picture without contours
 */
export function levelSurface(
  field: Field,
  { weight }: Contours,
  sigmas: readonly number[],
  level: number,
): Field {
  const { width, height } = field;
  const weights: Field = { width, height, data: weight };
  const values: Field = {
    width,
    height,
    data: field.data.map((value, i) => value * weight[i]),
  };
  const sum = weight.reduce((total, value) => total + value, 0);
  const mean = values.data.reduce((total, value) => total + value, 0) / sum;
  let surface = new Float32Array(weight.length).fill(sum > 0 ? mean : level);
  for (const sigma of sigmas) {
    const near = wideBlur(weights, sigma).data;
    const nearValues = wideBlur(values, sigma).data;
    // A straight contour through the middle comes to 1 / (σ √2π).
    const wider = 1 / (OWN_OVER_WIDER * sigma);
    surface = surface.map((value, i) => {
      const own = Math.max(near[i], 0);
      return own > 0 ? (nearValues[i] + wider * value) / (own + wider) : value;
    });
  }
  return { width, height, data: surface };
}
