import { gaussianBlur } from './blur.js';
import type { Field } from './field.js';

/** The two scales (σ) at which an edge's slope is compared, in mm: finer is grain, wider meets the next edge. */
const FINE_MM = 0.5;
const WIDE_MM = 1.2;
/** How much steeper a sharp step is at the fine scale: the two blurs' ratio, less what the pixel grid takes. */
const SHARP_RATIO = 2.2;
/** An edge whose ratio is over 1 by less than this share of a sharp one's is out of focus … */
const BLURRED = 0.35;
/** … and from this share on it is in focus. A blur of σ 1.4 mm has 0.3 of it, one of 1 mm 0.4, one of 0.5 mm 0.8. */
const FOCUSED = 0.65;
/**
 * The edges that a picture's own sharpness is told by, the sharpest tenth: a soft picture has soft edges everywhere, but a post before
 * many lamps has them in a sixth. Of fifteen photographs the tenth, and the quarter, lie beyond a sharp step.
 */
const SHARPEST = 0.9;

/**
 * How far each edge is in focus, 0 to 1, by its slope at two scales: blurring hardly changes an edge that is blurred
 * already. What is out of focus in a photograph, or a gradient of its light, has no contour that an artist would follow.
 *
 * S. Zhuo & T. Sim, Defocus map estimation from a single image, Pattern Recognition 44(9), 2011 (from memory).
 *
 * @param field lightness 0 to 255
 * @param edges 1 on the edges
 * @returns by pixel; 0 off the edges
 */
export function focusOf(field: Field, edges: Uint8Array, pixelsPerMm: number): Float32Array {
  const fine = slopeOn(edges, gaussianBlur(field, FINE_MM * pixelsPerMm));
  const wide = slopeOn(edges, gaussianBlur(field, WIDE_MM * pixelsPerMm));
  const over = new Float32Array(edges.length);
  for (let i = 0; i < edges.length; i++) {
    if (edges[i] === 1 && wide[i] > 0) over[i] = Math.max(0, fine[i] / wide[i] - 1);
  }
  const sharp = Math.min(SHARP_RATIO - 1, quantileOn(over, edges, SHARPEST));
  if (sharp <= 0) return Float32Array.from(edges);
  for (let i = 0; i < edges.length; i++) {
    if (edges[i] === 0) continue;
    over[i] = Math.min(1, Math.max(0, (over[i] / sharp - BLURRED) / (FOCUSED - BLURRED)));
  }
  return over;
}

/** How steep a field is on the edges, and 0 off them. */
function slopeOn(edges: Uint8Array, { width, height, data }: Field): Float32Array {
  const slope = new Float32Array(width * height);
  for (let y = 1; y < height - 1; y++) {
    for (let i = y * width + 1; i < (y + 1) * width - 1; i++) {
      if (edges[i] === 0) continue;
      slope[i] = Math.hypot(data[i + 1] - data[i - 1], data[i + width] - data[i - width]);
    }
  }
  return slope;
}

/** The value that a share of those on the edges lies under. */
function quantileOn(values: Float32Array, edges: Uint8Array, share: number): number {
  const onEdges: number[] = [];
  for (let i = 0; i < edges.length; i++) if (edges[i] === 1) onEdges.push(values[i]);
  const sorted = Float32Array.from(onEdges).sort();
  return sorted.length === 0 ? 0 : sorted[Math.floor(share * (sorted.length - 1))];
}
