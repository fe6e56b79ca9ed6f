import { readFileSync } from 'node:fs';
import sharp from 'sharp';
import type { Bitmap } from '../../src/raster/raster.js';
import { handwrittenGreys } from './digits.js';
import { hatch, rings } from './line-drawings.js';
import { paintedBy } from './resvg.js';

/*
 * Open handwritten digits and line drawings of the project's own, and what scikit-image 0.26, a computer-vision library,
 * thinned them to by test/fixtures/thinned/thin.py, from what `npx tsx test/support/thinned.ts FOLDER` writes.
 */

/** Of the pictures, and of what they were thinned to. */
export const THINNED_PIXELS_PER_MM = 5;
/** Digits of each kind, and px a px of theirs: a line of a pen comes to some 3 mm. */
const EACH = 4;
const TIMES = 6;
const SIDE = 168;

/** The ink of 40 digits, in the order of their sheet. */
export function inkOfDigits(): Bitmap[] {
  const digits = Array.from({ length: 10 }, (_, digit) => handwrittenGreys(digit, EACH)).flat();
  return digits.map(enlargedSmoothly);
}

/** A digit between whose pixels greys go over evenly; ink where they are half dark or more. */
function enlargedSmoothly(greys: Float64Array): Bitmap {
  const side = Math.sqrt(greys.length);
  const at = (x: number, y: number): number =>
    x < 0 || y < 0 || x >= side || y >= side ? 0 : greys[y * side + x];
  const data = new Uint8Array(SIDE * SIDE);
  for (let i = 0; i < data.length; i++) {
    const [u, v] = [(i % SIDE) + 0.5, Math.floor(i / SIDE) + 0.5].map((px) => px / TIMES - 0.5);
    const [x, y] = [Math.floor(u), Math.floor(v)];
    const [p, q] = [u - x, v - y];
    const above = at(x, y) * (1 - p) + at(x + 1, y) * p;
    const below = at(x, y + 1) * (1 - p) + at(x + 1, y + 1) * p;
    data[i] = Number(above * (1 - q) + below * q >= 0.5);
  }
  return { width: SIDE, height: SIDE, data };
}

/** Drawings whose lines are thinned, too. */
export function inkOfDrawings(): Bitmap[] {
  return [rings(1.6, 5), hatch(1.2, 5)].map(({ svg }) =>
    paintedBy(svg.replace(/<rect[^>]*>/, ''), THINNED_PIXELS_PER_MM * MM_PER_INCH),
  );
}

const MM_PER_INCH = 25.4;

const sheet = (name: string): URL => new URL(`../fixtures/thinned/${name}.png`, import.meta.url);

/** What the library made of pictures that lie side by side, each as wide as the others. */
export async function thinnedBySkimage(name: string, count: number): Promise<Bitmap[]> {
  const { data, info } = await sharp(readFileSync(sheet(name)))
    .toColourspace('b-w')
    .raw()
    .toBuffer({ resolveWithObject: true });
  const width = info.width / count;
  return Array.from({ length: count }, (_, k) => ({
    width,
    height: info.height,
    data: Uint8Array.from({ length: width * info.height }, (_, i) =>
      Number(data[Math.floor(i / width) * info.width + k * width + (i % width)] > 127),
    ),
  }));
}

/** Writes the ink as the library is given it: ink white, side by side. */
async function writeInk(pictures: readonly Bitmap[], path: string): Promise<void> {
  const [{ width, height }] = pictures;
  const whole = pictures.length * width;
  const grey = Buffer.alloc(whole * height);
  pictures.forEach(({ data }, k) => {
    data.forEach((ink, i) => {
      grey[Math.floor(i / width) * whole + k * width + (i % width)] = 255 * ink;
    });
  });
  await sharp(grey, { raw: { width: whole, height, channels: 1 } })
    .png()
    .toFile(path);
}

/** Of a person who makes the sheets anew. */
const [, script = '', folder] = process.argv;
if (script.endsWith('thinned.ts') && folder !== undefined) {
  await writeInk(inkOfDigits(), `${folder}/digits.png`);
  await writeInk(inkOfDrawings(), `${folder}/drawings.png`);
}
