import type { Numbers } from '../../built-in/face-networks.js';
import type { Point } from '../../geometry/shape.js';
import * as kernels from '../../kernels/generated.js';
import { kernelArrays } from '../../kernels/memory.js';
import type { Colours } from '../../raster/colours.js';
import type { Box } from '../../raster/raster.js';
import { layerOf, openLayer, roomFor, rowOf, type NetworkLayer } from './convolution.js';

/*
 * The 68 landmarks of a face, in the order of Sagonas et al., 300 Faces in-the-Wild Challenge (ICCV workshops 2013), by a
 * network of four densely connected blocks (Huang et al., CVPR 2017) of separable convolutions.
 */

/** In px of the picture; undefined where the box lies outside of it. */
export type Landmarker = (picture: Colours, box: Box) => Point[] | undefined;

/** What the network was taught with: the mean colour of its pictures, and their side, in px. */
const MEANS = [122.782, 117.001, 104.298];
const SIDE = 112;
/** Each block halves the picture, and each of its layers sees the sum of those before it. */
const BLOCKS = [0, 1, 2, 3];
const LAYERS = [0, 1, 2, 3];
/** In the order above. */
const LANDMARKS = 68;

export function landmarkerOf(numbers: Numbers): Landmarker {
  const blocks = BLOCKS.map((block) =>
    LAYERS.map((layer) => layerOf(numbers, `dense${block}/conv${layer}`)),
  );
  const last = layerOf(numbers, 'fc');
  return (picture, box) => {
    const part = clippedBox(box, picture);
    if (part.width < 1 || part.height < 1) return undefined;
    const longest = Math.max(part.width, part.height);
    const told = run(blocks, last, picture, part);
    const place = (share: number, from: number, length: number): number =>
      from + share * longest - (longest - length) / 2;
    return Array.from({ length: LANDMARKS }, (_, k) => ({
      x: place(told[2 * k], part.x, part.width),
      y: place(told[2 * k + 1], part.y, part.height),
    }));
  };
}

/** What of a box lies in a picture, in whole px. */
function clippedBox({ x, y, width, height }: Box, picture: Colours): Box {
  const [left, top] = [Math.max(x, 0), Math.max(y, 0)];
  return {
    x: Math.floor(left),
    y: Math.floor(top),
    width: Math.floor(Math.min(x + width, picture.width) - left),
    height: Math.floor(Math.min(y + height, picture.height) - top),
  };
}

/** Where the landmarks lie in the square round the part, in shares of its side; good until a kernel runs. */
function run(
  blocks: readonly (readonly NetworkLayer[])[],
  last: NetworkLayer,
  { width, data }: Colours,
  part: Box,
): Float32Array {
  const all = blocks.flatMap((block, k) =>
    block.map((layer) => ({ layer, across: SIDE / 2 ** (k + 1) })),
  );
  const needed = roomFor([...all, { layer: last, across: 1 }]);
  const most = Math.max(...all.map(({ layer, across }) => layer.wanted * (across + 2) ** 2));
  const [pixels, means, one, other, sum, row, filters, weights, bias, filtered, told] =
    kernelArrays(
      [Uint8Array, data.length],
      [Float32Array, MEANS.length],
      [Float32Array, Math.max(most, 3 * (SIDE + 2) ** 2)],
      [Float32Array, most],
      [Float32Array, most],
      [Float32Array, Math.max(...all.map(({ layer, across }) => layer.wanted * across))],
      [Float32Array, needed.filters],
      [Float32Array, needed.weights],
      [Float32Array, needed.bias],
      [Float32Array, needed.filtered],
      [Float32Array, last.wanted],
    );
  const room = { filters, weights, bias, filtered };
  pixels.set(data);
  means.set(MEANS);
  one.fill(0);
  other.fill(0);
  const longest = Math.max(part.width, part.height);
  const [across, down] = [part.width, part.height].map((side) => Math.floor((longest - side) / 2));
  kernels.laySquare(pixels, width, part.x, part.y, part.width, part.height, across, down, longest, means, SIDE, one); // prettier-ignore
  let [from, to] = [
    { data: one, side: SIDE },
    { data: other, side: SIDE },
  ];
  for (const block of blocks) {
    sum.fill(0);
    block.forEach((layer, k) => {
      const isFirst = k === 0;
      const side = isFirst ? from.side / 2 : from.side;
      to = { data: to.data, side };
      to.data.fill(0);
      // One that halves an even picture sees nothing beyond its upper and left edge, as its library has it.
      const how = isFirst ? { start: 1, step: 2, slope: 0 } : { start: 0, step: 1, slope: 1 };
      const workOut = openLayer(room, layer, from, how);
      for (let y = 0; y < side; y++) {
        workOut(y, side, row);
        const n = side * layer.wanted;
        kernels.addRow(sum.subarray(y * n), row, n, rowOf(to, y, layer.wanted));
      }
      [from, to] = [to, from];
    });
  }
  // The mean of each channel, then a matrix.
  const { given, wanted } = last;
  const pixelsLeft = from.side ** 2;
  room.filtered.fill(0, 0, given);
  for (let y = 0; y < from.side; y++) {
    const seen = rowOf(from, y, given);
    for (let i = 0; i < from.side * given; i++) room.filtered[i % given] += seen[i] / pixelsLeft;
  }
  room.weights.set(last.weights);
  room.bias.set(last.bias);
  kernels.multiplyRow(room.filtered, 1, given, room.weights, room.bias, 1, wanted, told);
  return told;
}
