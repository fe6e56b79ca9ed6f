import type { Bounds } from './bounding-box.js';
import { memoizeLast } from '../common/memoize-last.js';
import type { Bitmap } from '../raster/raster.js';
import {
  copyAt,
  foldedBack,
  imageOf,
  insideOf,
  inverseOf,
  type Isometry,
  type SymmetryPattern,
} from './fold-pattern.js';
import type { Point } from './shape.js';

/** By pixel of the opened sheet. */
export interface FoldRaster {
  readonly width: number;
  readonly height: number;
  /** The pixel of the packet that lies over it; -1 where the sheet is not folded. */
  readonly source: Int32Array;
  /** The copy that it lies in; -1 where the sheet is not folded. */
  readonly copy: Int8Array;
}

/** `foldRasterOf`, kept for as long as the pattern lives: every stage of a run works on the same grid. */
export const foldRaster = memoizeLast(foldRasterOf);

/** Which pixels of the opened sheet lie over one another when it is folded; exact where the folds lie on the grid. */
export function foldRasterOf(
  pattern: SymmetryPattern,
  width: number,
  height: number,
  pixelsPerMm: number,
): FoldRaster {
  const copy = copyRaster(pattern, width, height, pixelsPerMm);
  const ways = pattern.copies.map(inverseOf);
  const source = new Int32Array(width * height).fill(-1);
  for (let y = 0, i = 0; y < height; y++) {
    for (let x = 0; x < width; x++, i++) {
      const own = copy[i];
      if (own <= 0) {
        source[i] = own === 0 ? i : -1;
        continue;
      }
      const way = ways[own];
      const u = Math.floor(way.a * (x + 0.5) + way.c * (y + 0.5) + way.e * pixelsPerMm);
      const v = Math.floor(way.b * (x + 0.5) + way.d * (y + 0.5) + way.f * pixelsPerMm);
      const isOn = u >= 0 && v >= 0 && u < width && v < height;
      const under = v * width + u;
      source[i] =
        isOn && copy[under] === 0
          ? under
          : packetPixel(pattern, { x, y }, { width, copy }, pixelsPerMm);
    }
  }
  return { width, height, source, copy };
}

/** By pixel the copy that it lies in, as `copyAt` has it, where a pixel on a fold belongs to the packet. */
function copyRaster(
  pattern: SymmetryPattern,
  width: number,
  height: number,
  pixelsPerMm: number,
): Int8Array {
  const raster = new Int8Array(width * height);
  for (let y = 0; y < height; y++) {
    const mmY = (y + 0.5) / pixelsPerMm;
    const copyOf = (x: number): number => copyAt(pattern, (x + 0.5) / pixelsPerMm, mmY);
    let [x, copy] = [0, copyOf(0)];
    while (x < width) {
      const end = endOfRun(copyOf, copy, x, width);
      raster.fill(copy, y * width + x, y * width + end);
      // Rounding may have put it on either side.
      for (; copy > 0 && x < end; x++) {
        if (isInPacket(pattern, (x + 0.5) / pixelsPerMm, mmY)) raster[y * width + x] = 0;
      }
      [x, copy] = [end, copyOf(end)];
    }
  }
  return raster;
}

/** Where a row leaves the copy that it is in at `start`: parts are convex, so it crosses each in one run. */
function endOfRun(
  copyOf: (x: number) => number,
  copy: number,
  start: number,
  width: number,
): number {
  // What is not folded may lie on both sides of what is.
  if (copy < 0) {
    let end = start + 1;
    while (end < width && copyOf(end) < 0) end++;
    return end;
  }
  let [last, end] = [start, width];
  while (end - last > 1) {
    const middle = (last + end) >> 1;
    if (copyOf(middle) === copy) last = middle;
    else end = middle;
  }
  return end;
}

/** A place on a fold is off it by rounding at most so much, in mm. */
const ON_FOLD_MM = 1e-6;

function isInPacket({ mirrors: [one, other] }: SymmetryPattern, x: number, y: number): boolean {
  return insideOf(one, x, y) >= -ON_FOLD_MM && insideOf(other, x, y) >= -ON_FOLD_MM;
}

/** The packet's pixel under a pixel; where folds lie off the grid the one beside it that is the packet's. */
function packetPixel(
  pattern: SymmetryPattern,
  { x, y }: Point,
  { width, copy }: Pick<FoldRaster, 'width' | 'copy'>,
  pixelsPerMm: number,
): number {
  let place = foldedBack(pattern, (x + 0.5) / pixelsPerMm, (y + 0.5) / pixelsPerMm)!;
  const pixel = (): number => {
    const u = Math.min(width - 1, Math.max(0, Math.floor(place.x * pixelsPerMm)));
    const v = Math.min(copy.length / width - 1, Math.max(0, Math.floor(place.y * pixelsPerMm)));
    return v * width + u;
  };
  for (let step = 0; step < MOST_STEPS && copy[pixel()] !== 0; step++) {
    for (const mirror of pattern.mirrors) {
      const off = (step + 1) * (HALF_PX / pixelsPerMm) - insideOf(mirror, place.x, place.y);
      if (off <= 0) continue;
      place = { x: place.x + off * mirror.normal.x, y: place.y + off * mirror.normal.y };
    }
  }
  return pixel();
}

/** Into the packet by half pixels, until one of its own is found; the tip of a wedge takes some. */
const [HALF_PX, MOST_STEPS] = [0.5, 8];

/** The opened sheet of what lies in the packet; what is not folded stays as it is. */
export function unfoldedBitmap(bitmap: Bitmap, { source }: FoldRaster): Bitmap {
  const data = bitmap.data.slice();
  for (let i = 0; i < data.length; i++) if (source[i] >= 0) data[i] = bitmap.data[source[i]];
  return { ...bitmap, data };
}

/** 1 on the packet's pixels whose every image lies inside the margin. */
export function roomInPacket(
  { copies }: SymmetryPattern,
  { width, height, copy }: FoldRaster,
  pixelsPerMm: number,
  inside: Bounds,
): Bitmap {
  const data = new Uint8Array(width * height);
  for (let y = 0, i = 0; y < height; y++) {
    for (let x = 0; x < width; x++, i++) {
      if (copy[i] !== 0) continue;
      const [mmX, mmY] = [(x + 0.5) / pixelsPerMm, (y + 0.5) / pixelsPerMm];
      let isIn = true;
      for (let k = 0; k < copies.length && isIn; k++) {
        const { a, b, c, d, e, f } = copies[k];
        const [u, v] = [a * mmX + c * mmY + e, b * mmX + d * mmY + f];
        isIn = u >= inside.left && u <= inside.right && v >= inside.top && v <= inside.bottom;
      }
      data[i] = isIn ? 1 : 0;
    }
  }
  return { width, height, data };
}

/** What a copy brings over a place of the packet: 1 where it is dark, 0 where it is not, or beyond the sheet. */
export function valueIn(
  { width, height, data }: Bitmap,
  copy: Isometry,
  place: Point,
  pixelsPerMm: number,
): number {
  const image = imageOf(copy, place);
  const [x, y] = [Math.floor(image.x * pixelsPerMm), Math.floor(image.y * pixelsPerMm)];
  return x >= 0 && y >= 0 && x < width && y < height ? data[y * width + x] : 0;
}

/** The middle of a pixel, in mm. */
export function pixelCentre(pixel: number, width: number, pixelsPerMm: number): Point {
  const [x, y] = [pixel % width, Math.floor(pixel / width)];
  return { x: (x + 0.5) / pixelsPerMm, y: (y + 0.5) / pixelsPerMm };
}
