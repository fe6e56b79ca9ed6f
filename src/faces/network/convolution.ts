import type { Numbers, Quantised } from '../../built-in/face-networks.js';
import * as kernels from '../../kernels/generated.js';

/*
 * Layers of a convolutional network on pictures of a number for each channel, pixel by pixel, in the kernels' memory.
 * Each picture has a rim of one pixel, which is 0: what a filter sees beyond the edge.
 */

/**
 * A layer: filters of 3 × 3 pixels, then a matrix over the channels. A separable one has a filter a channel (Howard et al.,
 * MobileNets, 2017); of one without, the matrix takes the 27 numbers of 3 × 3 pixels in three colours.
 */
export interface NetworkLayer {
  readonly filters: Float32Array | undefined;
  /** As `multiplyRow` takes them. */
  readonly weights: Float32Array;
  readonly bias: Float32Array;
  /** How many numbers a pixel the matrix takes, and how many it gives: a multiple of `TOGETHER`. */
  readonly given: number;
  readonly wanted: number;
}

/** Where a layer's own numbers lie in the kernels' memory, and what it filters of a row. */
export interface LayerBuffers {
  readonly filters: Float32Array;
  readonly weights: Float32Array;
  readonly bias: Float32Array;
  readonly filtered: Float32Array;
}

/** A picture in the kernels' memory: `side` pixels each way, and the rim. */
export interface Square {
  readonly data: Float32Array;
  readonly side: number;
}

/** Of three colours a filter sees so many numbers. */
const COLOURS_SEEN = 27;

/** A layer by the names that its parts have. */
export function layerOf(numbers: Numbers, name: string): NetworkLayer {
  const part = (kind: string): Quantised | undefined => numbers.get(`${name}/${kind}`);
  const matrix = part('pointwise_filter') ?? part('filters') ?? part('weights');
  const bias = part('bias');
  if (!matrix || !bias) throw new Error(`the network has no part ${name}`);
  const columns = bias.bytes.length;
  const given = matrix.bytes.length / columns;
  const together = kernels.TOGETHER;
  const wanted = Math.ceil(columns / together) * together;
  const weights = new Float32Array(given * wanted);
  for (let column = 0; column < columns; column++) {
    const beside = column % together;
    const start = (column - beside) * given + beside;
    write(weights, matrix, { start, step: together, first: column, stride: columns });
  }
  const filters = part('depthwise_filter');
  return {
    filters: filters && write(new Float32Array(filters.bytes.length), filters),
    weights,
    bias: write(new Float32Array(wanted), bias),
    given,
    wanted,
  };
}

/** Writes numbers from `first` on, each `stride`-th, to `start` and each `step`-th place after it. */
function write(
  to: Float32Array,
  { bytes, scale, min }: Quantised,
  { start, step, first, stride } = { start: 0, step: 1, first: 0, stride: 1 },
): Float32Array {
  for (let i = first, at = start; i < bytes.length; i += stride, at += step)
    to[at] = bytes[i] * scale + min;
  return to;
}

/** How much room the largest of some layers needs, on rows of so many pixels. */
export function roomFor(
  layers: readonly { readonly layer: NetworkLayer; readonly across: number }[],
): Record<keyof LayerBuffers, number> {
  const most = (of: (each: (typeof layers)[number]) => number): number =>
    Math.max(...layers.map(of));
  return {
    filters: most(({ layer }) => layer.filters?.length ?? 0),
    weights: most(({ layer }) => layer.weights.length),
    bias: most(({ layer }) => layer.bias.length),
    filtered: most(({ layer, across }) => layer.given * across),
  };
}

/**
 * Readies a layer, and gives the function that works out one of its rows.
 *
 * @param from what it works on; @param start the first pixel that a filter's middle lies on, 0 the picture's own first
 * @param step how many pixels it goes on each time
 * @param slope what is below 0 is multiplied by that: 1 leaves it as it is
 */
export function openLayer(
  room: LayerBuffers,
  { filters, weights, bias, given, wanted }: NetworkLayer,
  from: Square,
  { start, step, slope }: { readonly start: number; readonly step: number; readonly slope: number },
): (y: number, across: number, out: Float32Array) => void {
  if (filters) room.filters.set(filters);
  room.weights.set(weights);
  room.bias.set(bias);
  const stride = from.side + 2;
  const channels = filters ? given : given / (COLOURS_SEEN / 3);
  return (y, across, out) => {
    const seen = from.data.subarray(channels * ((start + y * step) * stride + start));
    if (filters) {
      kernels.filterRow(seen, stride, step, channels, room.filters, across, room.filtered);
    } else {
      kernels.gatherRow(seen, stride, step, across, room.filtered);
    }
    kernels.multiplyRow(room.filtered, across, given, room.weights, room.bias, slope, wanted, out);
  };
}

/** Where a row of a picture begins, behind its rim. */
export function rowOf({ data, side }: Square, y: number, channels: number): Float32Array {
  return data.subarray(channels * ((y + 1) * (side + 2) + 1));
}
