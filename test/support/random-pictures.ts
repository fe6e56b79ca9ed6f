import type { Bitmap } from '../../src/raster/raster.js';
import { stampDisc } from '../../src/raster/stamp.js';
import { seeded } from './bitmaps.js';

/** The kinds of random picture that the promises are tried on. */
export const randomKinds = ['blobs', 'noise', 'rings', 'scribbles'] as const;
export type RandomKind = (typeof randomKinds)[number];

/** Paints into a square picture of `size` px a side. */
type Painter = (random: () => number, size: number, data: Uint8Array) => void;

const blobs: Painter = (random, size, data) => {
  for (let k = 0; k < 40; k++) {
    const [x, y, r] = [size * random(), size * random(), size * (0.01 + 0.09 * random())];
    const disc = new Uint8Array(data.length);
    stampDisc(disc, size, size, x, y, r, 1);
    for (let i = disc.indexOf(1); i >= 0; i = disc.indexOf(1, i + 1)) data[i] = 1 - data[i];
  }
};

/** Smooth noise: random values on a grid, blended, cut at a level. */
const noise: Painter = (random, size, data) => {
  const cells = 6 + Math.floor(18 * random());
  const values = Array.from({ length: (cells + 2) ** 2 }, random);
  const level = 0.35 + 0.3 * random();
  const at = (p: number, q: number): number => values[q * (cells + 2) + p];
  for (let i = 0; i < data.length; i++) {
    const [u, v] = [((i % size) / size) * cells, (Math.floor(i / size) / size) * cells];
    const [p, q] = [Math.floor(u), Math.floor(v)];
    const [a, b] = [u - p, v - q];
    const top = at(p, q) * (1 - a) + at(p + 1, q) * a;
    const bottom = at(p, q + 1) * (1 - a) + at(p + 1, q + 1) * a;
    data[i] = top * (1 - b) + bottom * b < level ? 1 : 0;
  }
};

const rings: Painter = (random, size, data) => {
  for (let k = 0; k < 5; k++) {
    const [x, y] = [size * random(), size * random()];
    const step = size * (0.01 + 0.03 * random());
    let dark = 1;
    for (let r = size * (0.08 + 0.2 * random()); r > 0; r -= step) {
      stampDisc(data, size, size, x, y, r, dark);
      dark = 1 - dark;
    }
  }
};

/** A few long wandering strokes, each of its own width. */
const scribbles: Painter = (random, size, data) => {
  for (let k = 0; k < 6; k++) {
    let [x, y, turn] = [size * random(), size * random(), 7 * random()];
    const width = size * (0.002 + 0.012 * random());
    for (let step = 0; step < 2 * size; step++) {
      stampDisc(data, size, size, x, y, width, 1);
      turn += 0.15 * (random() - 0.5);
      x = Math.min(Math.max(x + Math.cos(turn), 0), size);
      y = Math.min(Math.max(y + Math.sin(turn), 0), size);
    }
  }
};

const painters: Readonly<Record<RandomKind, Painter>> = { blobs, noise, rings, scribbles };

/**
 * A random picture of a kind, the same for the same seed.
 *
 * @param size its width and height in px
 * @param margin a frame of film round it, in px
 */
export function randomPicture(
  kind: RandomKind,
  seed: number,
  size: number,
  margin: number,
): Bitmap {
  const data = new Uint8Array(size * size);
  painters[kind](seeded(seed), size, data);
  for (let y = 0; y < size; y++) {
    const row = data.subarray(y * size, (y + 1) * size);
    if (y < margin || y >= size - margin) row.fill(0);
    else row.fill(0, 0, margin).fill(0, size - margin);
  }
  return { width: size, height: size, data };
}
