import { FINEST_PIXELS_PER_MM, type Sheet } from '../../settings/card.js';
import { coverage } from '../../geometry/coverage.js';
import type { Point, Shape } from '../../geometry/shape.js';
import type { Job } from '../../settings/job.js';
import type { Field } from '../../raster/field.js';
import type { Gray } from '../../raster/raster.js';
import { drawRing, writeNumber } from './rings-and-numbers.js';
import { noiseTile, type NoiseTile } from './noise.js';
import { indexedPng } from './png.js';
import { nearFilm } from './rim.js';

/**
 * Px: cards over some 6 × 6 in are drawn coarser than the raster stages are, for a file that is small and quickly made.
 */
const MOST_PIXELS = 2_500_000;

/**
 * What the print on the card looks like: paint dabbed through the openings, a little uneven as paint is.
 *
 * One number a pixel, the density, runs from bare card (0) to a full coat (1) and on to the rim where paint
 * gathers at the film's edge; the palette turns it into colour. The same job gives the same bytes.
 *
 * @returns a PNG at 10 px a mm, or what keeps a large card within 2.5 megapixels
 */
export async function previewPng(
  openings: readonly Shape[],
  sheet: Sheet,
  job: Pick<Job, 'paint' | 'ground'>,
  shown: PreviewMarks = {},
): Promise<Uint8Array> {
  const pixelsPerMm = previewScale(sheet);
  const width = Math.round(sheet.widthMm * pixelsPerMm);
  const height = Math.round(sheet.heightMm * pixelsPerMm);
  const covered = coverage(openings, width, height, pixelsPerMm);
  const indices = densities(covered, nearFilm(covered), pixelsPerMm);
  for (const { x, y } of shown.rings ?? []) {
    drawRing(indices, x * pixelsPerMm, y * pixelsPerMm, pixelsPerMm, INKS);
  }
  for (const { number, at } of shown.numbers ?? []) {
    writeNumber(indices, number, at.x * pixelsPerMm, at.y * pixelsPerMm, pixelsPerMm, INKS);
  }
  return indexedPng(indices, coloursOf(job.ground, job.paint), pixelsPerMm);
}

/** What a preview shows beside the paint, for who looks after the bridges; places in mm. */
export interface PreviewMarks {
  readonly numbers?: readonly { readonly number: number; readonly at: Point }[];
  readonly rings?: readonly Point[];
}

/** The darkest paint and the lightest card of the palette. */
const INKS = { dark: 255, light: 0 };

/** Px a mm; for large cards such that the width is a whole number of pixels, so that the size stays true. */
export function previewScale({ widthMm, heightMm }: Sheet): number {
  const most = Math.sqrt(MOST_PIXELS / (widthMm * heightMm));
  return most >= FINEST_PIXELS_PER_MM ? FINEST_PIXELS_PER_MM : Math.floor(widthMm * most) / widthMm;
}

/** Palette indices, of 256, of density 0 and 1; what lies beyond them is lit card and gathered paint. */
const BARE = 24;
export const FULL = 200;

/** The density, 0 bare to 1 a full coat and beyond, that a palette index stands for. */
export function densityOf(index: number): number {
  return (index - BARE) / (FULL - BARE);
}

/**
 * By how much paint beyond a full coat is darker, as a share of its lightness. By eye: gathered paint is plainly
 * darker, but not black.
 */
const DARKER = 0.9;

/** The colour of each density: card to paint, then darker paint. */
export function coloursOf(ground: string, paint: string): Uint8Array {
  const card = rgb(ground);
  const coat = rgb(paint);
  const colours = new Uint8Array(256 * 3);
  for (let index = 0; index < 256; index++) {
    const density = densityOf(index);
    for (let channel = 0; channel < 3; channel++) {
      const mixed = card[channel] + (coat[channel] - card[channel]) * Math.min(density, 1);
      const shade = density > 1 ? 1 - DARKER * (density - 1) : 1;
      colours[3 * index + channel] = Math.min(Math.max(mixed * shade, 0), 255);
    }
  }
  return colours;
}

function rgb(colour: string): readonly number[] {
  return [1, 3, 5].map((at) => parseInt(colour.slice(at, at + 2), 16));
}

/** A texture: its grain's size, how far its spread moves the density, and its seed. */
interface Texture {
  readonly tilePx: number;
  readonly grainMm: number;
  readonly depth: number;
  readonly seed: number;
}

/** The paint's unevenness, chosen by eye. The tiles' sides are prime: their sum repeats too rarely to be seen. */
const COATED = BARE + 0.96 * (FULL - BARE);
const DABS: Texture = { tilePx: 251, grainMm: 1.4, depth: 0.026, seed: 11 };
const GRAIN: Texture = { tilePx: 211, grainMm: 0.25, depth: 0.013, seed: 23 };
const TOOTH: Texture = { tilePx: 179, grainMm: 0.32, depth: 0.007, seed: 37 };
/** Where the grain is this many spreads below its mean, paint missed the card. */
const PINHOLES = { below: -1.7, depth: 0.16 };
/** How much denser the paint is where film lies all round: chosen by eye. */
const RIM_DEPTH = 0.4;

/** Palette indices of the density at each pixel. */
export function densities(covered: Gray, film: Field, pixelsPerMm: number): Gray {
  const { width, height } = covered;
  const dabs = inIndices(tileOf(DABS, pixelsPerMm), (dab) => DABS.depth * dab);
  const grains = inIndices(tileOf(GRAIN, pixelsPerMm), grainDensity);
  const teeth = inIndices(tileOf(TOOTH, pixelsPerMm), (tooth) => TOOTH.depth * tooth);
  const rim = RIM_DEPTH * (FULL - BARE);
  const data = new Uint8Array(width * height);
  for (let y = 0, i = 0; y < height; y++) {
    const dabRow = (y % dabs.size) * dabs.size;
    const grainRow = (y % grains.size) * grains.size;
    const toothRow = (y % teeth.size) * teeth.size;
    for (let x = 0; x < width; x++, i++) {
      const share = covered.data[i] / 255;
      const card = BARE + teeth.data[toothRow + (x % teeth.size)];
      if (share === 0) {
        data[i] = card + 0.5;
        continue;
      }
      const dab = dabs.data[dabRow + (x % dabs.size)];
      const grain = grains.data[grainRow + (x % grains.size)];
      const paint = COATED + dab + grain + rim * film.data[i];
      data[i] = card + (paint - card) * share + 0.5;
    }
  }
  return { width, height, data };
}

/** The textures at the finest scale, the one that most cards have; they are always the same. */
const finestTiles = new Map<Texture, NoiseTile>();

/** Makes what the previews of all cards up to a page share, ahead of the first. */
export function warmPreview(): void {
  for (const texture of [DABS, GRAIN, TOOTH]) tileOf(texture, FINEST_PIXELS_PER_MM);
}

function tileOf(texture: Texture, pixelsPerMm: number): NoiseTile {
  const known = pixelsPerMm === FINEST_PIXELS_PER_MM ? finestTiles.get(texture) : undefined;
  if (known) return known;
  const tile = noiseTile(texture.tilePx, texture.grainMm * pixelsPerMm, texture.seed);
  if (pixelsPerMm === FINEST_PIXELS_PER_MM) finestTiles.set(texture, tile);
  return tile;
}

/** The tile as differences of palette indices. */
function inIndices({ size, data }: NoiseTile, density: (noise: number) => number): NoiseTile {
  return { size, data: data.map((noise) => density(noise) * (FULL - BARE)) };
}

function grainDensity(grain: number): number {
  return GRAIN.depth * grain + PINHOLES.depth * Math.min(0, grain - PINHOLES.below);
}
