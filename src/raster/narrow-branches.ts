import * as kernels from '../kernels/generated.js';
import { kernelArrays } from '../kernels/memory.js';
import { boundsOfPixels } from './crop.js';
import { distanceRoom, reachOf } from './distance.js';
import type { Bitmap, Box } from './raster.js';

/** A connected run of centreline pixels along which a region is thinner than it should be. */
export interface NarrowBranch {
  /** Pixel numbers in the raster, row by row from the top left. */
  readonly pixels: Int32Array;
  /** By pixel: how far, in px, it is to what lies outside the region. */
  readonly halfWidths: Float32Array;
  /** True when it meets the thick part in two places or more, and so holds it together. */
  readonly joins: boolean;
  /** The pixels of the whole region when no part of it is thick enough; else undefined. */
  readonly region?: Int32Array;
}

/**
 * The sine of half the sharpest corner's angle. An opening sharper than 20° can't be cleared to its tip and counts as
 * a line. Film may run out to any point that is no line: nothing hangs from its tip, and widening it would eat the
 * dark lines that meet there.
 */
const LEAST_TAPER = [1 / 10, 1 / 6] as const;

/**
 * Finds the places where the regions of one value are thinner than twice `halfWidth`.
 *
 * The thick part of a region is what is left of it when it is eroded by `halfWidth`. Whatever of its centreline lies
 * outside of that joins two thick parts by a neck, leaves one as a thin line, or belongs to a region that is thin all
 * over; save for the branches into corners, which are no thin places.
 *
 * @param halfWidth in px, from a pixel's centre to the nearest centre outside
 * @param inside pixels of the value outside this box (the margin) count as thick
 * @param window the part of the raster to look at; what lies outside it counts as thick
 */
export function narrowBranches(
  bitmap: Bitmap,
  value: 0 | 1,
  halfWidth: number,
  inside: Box,
  window: Box,
): NarrowBranch[] {
  const { width, height } = window;
  const pixels = width * height;
  const [part, squared, mask, thinned, lines, a, b, c, along, ...room] = kernelArrays(
    [Uint8Array, pixels],
    [Float32Array, pixels],
    [Uint8Array, pixels],
    [Uint8Array, pixels],
    [Int32Array, pixels],
    [Int32Array, pixels],
    [Int32Array, pixels],
    [Int32Array, pixels],
    [Float64Array, pixels],
    ...distanceRoom(width, height),
  );
  crop(bitmap, window, part);
  const other = value === 1 ? 0 : 1;
  const reach = reachOf(halfWidth + 2);
  kernels.squaredDistance(part, width, height, other, ...reach, squared, ...room);
  const limit = halfWidth * halfWidth;
  const edges = edgesWithin(inside, window);
  const thick = [width, height, value, squared, limit, ...edges, mask, lines] as const;
  const body = kernels.classifyThickness(part, ...thick);
  thinned.set(mask);
  kernels.thin(thinned, width, lines, body, a, b, c, 0);
  const taper = LEAST_TAPER[value];
  const left = kernels.pruneCornerBranches(thinned, width, lines, body, squared, taper, a, along);
  const [listed, ends, kinds] = [a, b, c];
  const found = kernels.connectLines(thinned, width, lines, left, listed, ends, kinds);
  const branches = Array.from({ length: found }, (_, k): Branch => {
    const pixels = listed.slice(k === 0 ? 0 : ends[k - 1], ends[k]);
    if (kinds[k] !== kernels.LOOSE) return { joins: kinds[k] === kernels.JOINS, pixels };
    const size = kernels.listRegion(mask, width, pixels[0], lines);
    return { joins: false, pixels, region: lines.slice(0, size) };
  });
  const peeledAgain = (region: Int32Array): Int32Array => {
    for (const i of region) thinned[i] = kernels.BODY;
    lines.set(region.toSorted());
    kernels.thin(thinned, width, lines, region.length, a, b, c, 1);
    const stays = kernels.pruneCornerBranches(thinned, width, lines, region.length, squared, taper, a, along); // prettier-ignore
    return lines.slice(0, stays);
  };
  return branches.map(({ joins, pixels, region }): NarrowBranch => {
    const line = region && isEaten(pixels, region, width, squared) ? peeledAgain(region) : pixels;
    const place = {
      joins,
      pixels: inRaster(line, window, bitmap.width),
      halfWidths: rootsOf(squared, line),
    };
    return region ? { ...place, region: inRaster(region, window, bitmap.width) } : place;
  });
}

/** A narrow branch by the pixels of the window. */
interface Branch {
  readonly joins: boolean;
  readonly pixels: Int32Array;
  readonly region?: Int32Array;
}

/** Ragged ends are this much longer than their line at the most, in px. */
const RAGGED_PX = 2;

/**
 * Whether thinning has eaten a line from its ends, as it does at about 45°: it reaches less far than its region by more than
 * the region is wide.
 */
function isEaten(
  line: Int32Array,
  region: Int32Array,
  width: number,
  squared: Float32Array,
): boolean {
  const widest = 2 * Math.sqrt(line.reduce((most, i) => Math.max(most, squared[i]), 0));
  return longerSideOf(region, width) - longerSideOf(line, width) > widest + RAGGED_PX;
}

/** The longer side of the box round some pixels, in px. */
function longerSideOf(pixels: Int32Array, width: number): number {
  const [left, top, right, bottom] = boundsOfPixels(pixels, width);
  return Math.max(right - left, bottom - top);
}

/** Pixels of a window, by their numbers in the raster. */
function inRaster(pixels: Int32Array, { x, y, width }: Box, rasterWidth: number): Int32Array {
  const numbers = new Int32Array(pixels.length);
  for (let k = 0; k < pixels.length; k++) {
    const row = Math.floor(pixels[k] / width);
    numbers[k] = (row + y) * rasterWidth + pixels[k] - row * width + x;
  }
  return numbers;
}

/** The distances at some pixels, from their squares. */
function rootsOf(squared: Float32Array, pixels: Int32Array): Float32Array {
  const roots = new Float32Array(pixels.length);
  for (let k = 0; k < roots.length; k++) roots[k] = Math.sqrt(squared[pixels[k]]);
  return roots;
}

/** Copies a part of a bitmap. Writes to `part`. */
function crop(bitmap: Bitmap, { x, y, width, height }: Box, part: Uint8Array): void {
  for (let row = 0; row < height; row++) {
    const start = (y + row) * bitmap.width + x;
    part.set(bitmap.data.subarray(start, start + width), row * width);
  }
}

/**
 * The left, right, top and bottom edge, in px of the window, of what counts as thin or thick by its width; the second
 * and the last are the first pixels beyond it. The window's rim never does.
 */
function edgesWithin(inside: Box, window: Box): readonly [number, number, number, number] {
  return [
    Math.max(1, inside.x - window.x),
    Math.min(window.width - 1, inside.x + inside.width - window.x),
    Math.max(1, inside.y - window.y),
    Math.min(window.height - 1, inside.y + inside.height - window.y),
  ];
}
