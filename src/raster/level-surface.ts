import * as kernels from '../kernels/generated.js';
import type { Contours } from './contours.js';
import type { Field } from './field.js';
import { pointwise, sumOf } from './pointwise.js';
import { wideBlur } from './wide-blur.js';

/**
 * A contour through the middle of a neighbourhood outweighs what is known from farther off by this much: more follows
 * every contour, less blurs the level of a face into that of its coat.
 */
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
 * @param sigmas of the neighbourhoods in px, from the widest to the narrowest, for each surface that is wanted: what
 *   several have in common is worked out once
 * @param level for a picture without contours
 */
export function levelSurfaces(
  field: Field,
  { weight }: Contours,
  sigmas: readonly (readonly number[])[],
  level: number,
): Field[] {
  const { width, height } = field;
  const weights: Field = { width, height, data: weight };
  const weighted = pointwise(weight, [field.data], (by, [given], n) =>
    kernels.multiply(by, given, n),
  );
  const values: Field = { width, height, data: weighted };
  const sum = sumOf(weight);
  const start = new Float32Array(weight.length).fill(sum > 0 ? sumOf(values.data) / sum : level);
  const blurs = new Map<number, readonly [known: Float32Array, values: Float32Array]>();
  const near = (sigma: number) => {
    const blurred =
      blurs.get(sigma) ?? ([wideBlur(weights, sigma).data, wideBlur(values, sigma).data] as const);
    blurs.set(sigma, blurred);
    return blurred;
  };
  return sigmas.map((each) => {
    // A straight contour through the middle comes to 1 / (σ √2π).
    const data = each.reduce<Float32Array>(
      (surface, sigma) =>
        pointwise(surface, near(sigma), (levels, [known, sums], n) =>
          kernels.drawLevels(levels, known, sums, n, 1 / (OWN_OVER_WIDER * sigma)),
        ),
      start,
    );
    return { width, height, data };
  });
}
