import type { Bitmap } from './raster.js';

/** More than any column of a raster is long; what is this far off counts as not there. */
const FAR = 65535;

/** Memory that calls one after another may share: without it, each takes and leaves six bytes a pixel. */
export interface DistanceScratch {
  readonly columns: Uint16Array;
  readonly squared: Float32Array;
}

/** Memory for bitmaps of at most so many pixels. */
export function distanceScratch(pixels: number): DistanceScratch {
  return { columns: new Uint16Array(pixels), squared: new Float32Array(pixels) };
}

/**
 * The exact squared Euclidean distance, in px², from each pixel's centre to the centre of the nearest pixel of
 * value `to`: 0 on such a pixel, Infinity where there is none within `reach`.
 *
 * Source: Felzenszwalb & Huttenlocher, "Distance transforms of sampled functions", Theory of Computing 8 (2012):
 * columns first, then the lower envelope of parabolas along each row. Along a row, nothing is looked at beyond the
 * pixels of value `to` at either end of a run without them: nothing further off can be nearer.
 *
 * @param reach in px; a short one is much faster on a raster with wide empty parts
 * @param scratch what is returned lies in it, and is good until it is used again
 */
export function squaredDistance(
  { width, height, data }: Bitmap,
  to: 0 | 1,
  reach = Infinity,
  scratch = distanceScratch(width * height),
): Float32Array {
  const beyond = Math.min(FAR, Math.ceil(reach) + 1);
  const columns = scratch.columns.subarray(0, width * height);
  const squared = scratch.squared.subarray(0, width * height).fill(0);
  measureColumns(columns, width, data, to, beyond);
  const envelope = newEnvelope(width);
  const most = reach * reach;
  for (let row = 0; row < squared.length; row += width) {
    for (let x = 0; x < width; x++) {
      if (columns[row + x] === 0) continue;
      const first = Math.max(0, x - 1);
      while (x < width && columns[row + x] !== 0) x++;
      const last = Math.min(x, width - 1);
      const parabolas = lowerEnvelope(columns, row, first, last, beyond, envelope);
      writeDistances(columns, squared, row, first, last, parabolas, most, envelope);
    }
  }
  return squared;
}

/** Writes for each pixel the distance, in px, to the nearest pixel of value `to` in its own column, `beyond` at most. */
function measureColumns(
  distance: Uint16Array,
  width: number,
  data: Uint8Array,
  to: number,
  beyond: number,
): void {
  for (let x = 0; x < width; x++) distance[x] = data[x] === to ? 0 : beyond;
  for (let i = width; i < distance.length; i++) {
    const above = distance[i - width];
    distance[i] = data[i] === to ? 0 : above < beyond ? above + 1 : beyond;
  }
  for (let i = distance.length - width - 1; i >= 0; i--) {
    const below = distance[i + width] + 1;
    if (below < distance[i]) distance[i] = below;
  }
}

/** Working memory for one row: the parabolas of the envelope, and from where on each is the lowest. */
interface Envelope {
  readonly vertex: Int32Array;
  readonly from: Float64Array;
}

function newEnvelope(width: number): Envelope {
  return { vertex: new Int32Array(width), from: new Float64Array(width + 1) };
}

/** Builds the envelope of the parabolas that stand on pixels `first` to `last` of a row; returns their number. */
function lowerEnvelope(
  columns: Uint16Array,
  row: number,
  first: number,
  last: number,
  beyond: number,
  { vertex, from }: Envelope,
): number {
  let count = 0;
  for (let x = first; x <= last; x++) {
    const d = columns[row + x];
    if (d >= beyond) continue;
    const height = d * d + x * x;
    let start = -Infinity;
    while (count > 0) {
      const v = vertex[count - 1];
      const dv = columns[row + v];
      start = (height - dv * dv - v * v) / (2 * (x - v));
      if (start > from[count - 1]) break;
      count--;
    }
    vertex[count] = x;
    from[count] = count === 0 ? -Infinity : start;
    count++;
  }
  from[count] = Infinity;
  return count;
}

function writeDistances(
  columns: Uint16Array,
  squared: Float32Array,
  row: number,
  first: number,
  last: number,
  parabolas: number,
  most: number,
  { vertex, from }: Envelope,
): void {
  if (parabolas === 0) {
    squared.fill(Infinity, row + first, row + last + 1);
    return;
  }
  for (let x = first, k = 0; x <= last; x++) {
    while (from[k + 1] < x) k++;
    const v = vertex[k];
    const d = columns[row + v];
    const found = (x - v) * (x - v) + d * d;
    squared[row + x] = found <= most ? found : Infinity;
  }
}
