import * as kernels from '../../kernels/generated.js';
import type { Field } from '../../raster/field.js';
import { histogramOf, quantile } from '../../raster/histogram.js';
import { pointwise } from '../../raster/pointwise.js';

/** Half way from black to white. */
export const MIDDLE = 127.5;

/** The lightest and darkest share that the stretch to full contrast lets go. */
const TAIL = 0.01;
/** A picture of fewer levels than this isn't stretched to its full contrast: its grain would be, too. */
const SMALLEST_RANGE = 32;

/** The picture at full contrast: 1 % is black and 1 % white. */
export function stretched(field: Field): Field {
  const histogram = histogramOf(field);
  const low = quantile(histogram, TAIL);
  const high = quantile(histogram, 1 - TAIL);
  const gain = 255 / Math.max(high - low, SMALLEST_RANGE);
  const middle = (low + high) / 2;
  const data = pointwise(field.data, [], (values, _, n) =>
    kernels.stretch(values, n, middle, gain, MIDDLE),
  );
  return { width: field.width, height: field.height, data };
}
