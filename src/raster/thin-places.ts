import { linesWithoutCorners } from './branches.js';
import { squaredDistance, type DistanceScratch } from './distance.js';
import type { Bitmap, Box } from './raster.js';
import { ANCHOR, BODY, thin } from './thinning.js';

/** A connected run of centreline pixels along which a region is thinner than it should be. */
export interface ThinPlace {
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
 * @param scratch memory for so many pixels as the window has
 */
export function thinPlaces(
  bitmap: Bitmap,
  value: 0 | 1,
  halfWidth: number,
  inside: Box,
  window: Box,
  scratch: DistanceScratch,
): ThinPlace[] {
  const part = cropped(bitmap, window);
  const squared = squaredDistance(part, value === 1 ? 0 : 1, halfWidth + 2, scratch);
  const { mask, body } = thickAndThin(part, value, squared, halfWidth * halfWidth, {
    left: Math.max(1, inside.x - window.x),
    right: Math.min(part.width - 1, inside.x + inside.width - window.x),
    top: Math.max(1, inside.y - window.y),
    bottom: Math.min(part.height - 1, inside.y + inside.height - window.y),
  });
  const thinned = thin(mask, part.width, body);
  const lines = linesWithoutCorners(thinned, part.width, body, squared, LEAST_TAPER[value]);
  const toRaster = (i: number): number =>
    (Math.floor(i / window.width) + window.y) * bitmap.width + (i % window.width) + window.x;
  return connectedLines(lines, thinned, part.width).map(({ pixels, contacts }) => ({
    joins: areApart(contacts, part.width),
    pixels: Int32Array.from(pixels, toRaster),
    halfWidths: Float32Array.from(pixels, (i) => Math.sqrt(squared[i])),
    ...(contacts.length === 0 && {
      region: Int32Array.from(regionAround(pixels[0], mask, part.width), toRaster),
    }),
  }));
}

function cropped(bitmap: Bitmap, { x, y, width, height }: Box): Bitmap {
  if (width === bitmap.width && height === bitmap.height) return bitmap;
  const data = new Uint8Array(width * height);
  for (let row = 0; row < height; row++) {
    const start = (y + row) * bitmap.width + x;
    data.set(bitmap.data.subarray(start, start + width), row * width);
  }
  return { width, height, data };
}

/** The edges of a part of a raster, in px; `right` and `bottom` are the first pixels beyond it. */
interface Edges {
  readonly left: number;
  readonly right: number;
  readonly top: number;
  readonly bottom: number;
}

/** The region's thick part (ANCHOR) and the rest (BODY); outside the edges all of it counts as thick. */
function thickAndThin(
  { width, height, data }: Bitmap,
  value: 0 | 1,
  squared: Float32Array,
  limit: number,
  { left, right, top, bottom }: Edges,
): { readonly mask: Uint8Array; readonly body: Int32Array } {
  const mask = new Uint8Array(data.length);
  const body: number[] = [];
  for (let y = 0, i = 0; y < height; y++) {
    const isMargin = y < top || y >= bottom;
    for (let x = 0; x < width; x++, i++) {
      if (data[i] !== value) continue;
      if (squared[i] >= limit || isMargin || x < left || x >= right) mask[i] = ANCHOR;
      else {
        mask[i] = BODY;
        body.push(i);
      }
    }
  }
  return { mask, body: Int32Array.from(body) };
}

/** A run of connected line pixels, and those of the thick part's that it touches. */
interface Line {
  readonly pixels: readonly number[];
  readonly contacts: readonly number[];
}

function connectedLines(lines: Int32Array, thinned: Uint8Array, width: number): Line[] {
  const left = new Set<number>(lines);
  const steps = [-width - 1, -width, -width + 1, -1, 1, width - 1, width, width + 1];
  const found: Line[] = [];
  for (const start of lines) {
    if (!left.delete(start)) continue;
    const pixels = [start];
    const contacts: number[] = [];
    for (let k = 0; k < pixels.length; k++) {
      for (const step of steps) {
        const i = pixels[k] + step;
        if (thinned[i] === ANCHOR) contacts.push(i);
        else if (left.delete(i)) pixels.push(i);
      }
    }
    found.push({ pixels, contacts });
  }
  return found;
}

/** Pixels of the thick part that lie further apart than this, in px, are not one place where a line meets it. */
const ONE_CONTACT = 4;

function areApart(contacts: readonly number[], width: number): boolean {
  const [first = 0] = contacts;
  return contacts.some(
    (i) =>
      Math.abs((i % width) - (first % width)) > ONE_CONTACT ||
      Math.abs(Math.floor(i / width) - Math.floor(first / width)) > ONE_CONTACT,
  );
}

/** The pixels of the thin region that a pixel belongs to. */
function regionAround(start: number, mask: Uint8Array, width: number): readonly number[] {
  const seen = new Set<number>([start]);
  const region = [start];
  for (let k = 0; k < region.length; k++) {
    const here = region[k];
    for (const i of [here - width, here - 1, here + 1, here + width]) {
      if (mask[i] !== BODY || seen.has(i)) continue;
      seen.add(i);
      region.push(i);
    }
  }
  return region;
}
