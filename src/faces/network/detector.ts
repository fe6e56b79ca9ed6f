import type { Numbers } from '../../built-in/face-networks.js';
import * as kernels from '../../kernels/generated.js';
import { kernelArrays } from '../../kernels/memory.js';
import type { Colours } from '../../raster/colours.js';
import type { Box } from '../../raster/raster.js';
import {
  layerOf,
  openLayer,
  roomFor,
  rowOf,
  type NetworkLayer,
  type Square,
} from './convolution.js';

/*
 * A small detector of faces after Redmon & Farhadi, YOLO9000 (CVPR 2017), with separable convolutions: it sees a picture in
 * a square, and tells of each of its cells how sure it is that a face lies there, and in which box.
 */

/** One look of the detector at a part of a picture. */
export interface DetectorWindow {
  /** Whole px, inside the picture. */
  readonly area: Box;
  /** Px of the square that the detector sees the part in, a multiple of 32: a large one for small faces. */
  readonly inputSize: number;
}

/** A face as the detector tells it, in px of the picture. */
export interface Detected {
  readonly box: Box;
  /** How sure it is, 0 to 1. */
  readonly score: number;
}

export type Detector = (picture: Colours, look: DetectorWindow, leastScore: number) => Detected[];

/** What the network was taught with: the mean colour of its pictures, and the boxes that its guesses start from, in cells. */
const MEANS = [117.001, 114.697, 97.404];
const ANCHORS: readonly (readonly [width: number, height: number])[] = [
  [1.603231, 2.094468],
  [6.041143, 7.080126],
  [2.882459, 3.518061],
  [4.266906, 5.178857],
  [9.041765, 10.66308],
];
/** For each anchor: where the box lies in its cell, how large it is, and how sure that is. */
const ENCODED = 5;
/** Of boxes that share more of what they cover together than this, the surest is kept. */
const OVERLAP = 0.4;
/** What is below 0 goes on at this share (leaky rectifier). */
const LEAK = 0.1;
/** Convolutions; each is followed by max pooling over 2 × 2, the last one's with a stride of 1. */
const NAMES = ['conv0', 'conv1', 'conv2', 'conv3', 'conv4', 'conv5'];
const POOL_STEPS = [2, 2, 2, 2, 2, 1];

export function detectorOf(numbers: Numbers): Detector {
  const layers = NAMES.map((name) => layerOf(numbers, name));
  const last = layerOf(numbers, 'conv8');
  return (picture, look, leastScore) => {
    const cells = look.inputSize / 2 ** POOL_STEPS.filter((step) => step === 2).length;
    const told = run(layers, last, picture, look);
    return surest(boxesIn(told, last.wanted, cells, look.area, leastScore));
  };
}

/** What the network tells, cell by cell, `last.wanted` numbers each; good until a kernel runs. */
function run(
  layers: readonly NetworkLayer[],
  last: NetworkLayer,
  { width, data }: Colours,
  { area, inputSize }: DetectorWindow,
): Float32Array {
  // Each picture's side, and how wide a row is before it is shrunk: the first layer sees nothing beyond the edge.
  const sides = [inputSize];
  const across = layers.map((_, k) => {
    const wide = k === 0 ? inputSize - 2 : sides[k];
    sides.push(Math.ceil(wide / POOL_STEPS[k]));
    return wide;
  });
  const channels = [3, ...layers.map(({ wanted }) => wanted)];
  const most = (of: (k: number) => number, from: number): number =>
    Math.max(...sides.map((_, k) => (k % 2 === from ? of(k) : 0)));
  const size = (k: number): number => channels[k] * (sides[k] + 2) ** 2;
  const needed = roomFor([
    ...layers.map((layer, k) => ({ layer, across: across[k] })),
    { layer: last, across: sides[layers.length] },
  ]);
  const rowLength = Math.max(...layers.map(({ wanted }, k) => wanted * across[k]));
  const [pixels, means, even, odd, one, other, filters, weights, bias, filtered, told] =
    kernelArrays(
      [Uint8Array, data.length],
      [Float32Array, MEANS.length],
      [Float32Array, most(size, 0)],
      [Float32Array, most(size, 1)],
      [Float32Array, rowLength],
      [Float32Array, rowLength],
      [Float32Array, needed.filters],
      [Float32Array, needed.weights],
      [Float32Array, needed.bias],
      [Float32Array, needed.filtered],
      [Float32Array, last.wanted * sides[layers.length] ** 2],
    );
  const room = { filters, weights, bias, filtered };
  const squares = sides.map((side, k): Square => ({ data: k % 2 === 0 ? even : odd, side }));
  pixels.set(data);
  means.set(MEANS);
  even.fill(0, 0, size(0));
  const longest = Math.max(area.width, area.height);
  kernels.laySquare(pixels, width, area.x, area.y, area.width, area.height, 0, 0, longest, means, inputSize, even); // prettier-ignore
  layers.forEach((layer, k) => {
    const [from, to] = [squares[k], squares[k + 1]];
    const wide = across[k];
    const step = POOL_STEPS[k];
    to.data.fill(0, 0, size(k + 1));
    const workOut = openLayer(room, layer, from, { start: k === 0 ? 1 : 0, step: 1, slope: LEAK });
    const rows = [one, other];
    let done = 0;
    for (let y = 0; y < to.side; y++) {
      const below = Math.min(y * step + 1, wide - 1);
      for (; done <= below; done++) workOut(done, wide, rows[done % 2]);
      kernels.poolRow(rows[(y * step) % 2], rows[below % 2], wide, layer.wanted, step, rowOf(to, y, layer.wanted)); // prettier-ignore
    }
  });
  const seen = squares[layers.length];
  room.weights.set(last.weights);
  room.bias.set(last.bias);
  for (let y = 0; y < seen.side; y++) {
    const row = rowOf(seen, y, last.given);
    const out = told.subarray(y * seen.side * last.wanted);
    kernels.multiplyRow(row, seen.side, last.given, room.weights, room.bias, 1, last.wanted, out);
  }
  return told;
}

function boxesIn(
  told: Float32Array,
  stride: number,
  cells: number,
  area: Box,
  leastScore: number,
): Detected[] {
  // Cells lie on the square, of which the picture fills the upper or the left part.
  const scale = Math.max(area.width, area.height) / cells;
  const found: Detected[] = [];
  for (let cell = 0; cell < cells * cells; cell++) {
    ANCHORS.forEach(([wide, high], k) => {
      const [x, y, acrossBy, downBy, sure] = told.subarray(stride * cell + ENCODED * k);
      const score = sigmoid(sure);
      if (score <= leastScore) return;
      const width = Math.exp(acrossBy) * wide * scale;
      const height = Math.exp(downBy) * high * scale;
      const left = area.x + ((cell % cells) + sigmoid(x)) * scale - width / 2;
      const top = area.y + (Math.floor(cell / cells) + sigmoid(y)) * scale - height / 2;
      found.push({ box: { x: left, y: top, width, height }, score });
    });
  }
  return found;
}

/** Without those that a surer one covers. */
function surest(found: readonly Detected[]): Detected[] {
  const kept: Detected[] = [];
  for (const one of found.toSorted((a, b) => b.score - a.score)) {
    if (kept.every(({ box }) => overlapOf(one.box, box) <= OVERLAP)) kept.push(one);
  }
  return kept;
}

/** Intersection over union. */
export function overlapOf(a: Box, b: Box): number {
  const both = sharedArea(a, b);
  return both / (a.width * a.height + b.width * b.height - both);
}

export function sharedArea(a: Box, b: Box): number {
  const across = Math.min(a.x + a.width, b.x + b.width) - Math.max(a.x, b.x);
  const down = Math.min(a.y + a.height, b.y + b.height) - Math.max(a.y, b.y);
  return Math.max(across, 0) * Math.max(down, 0);
}

const sigmoid = (x: number): number => 1 / (1 + Math.exp(-x));
