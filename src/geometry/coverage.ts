import * as kernels from '../kernels/generated.js';
import { kernelArrays } from '../kernels/memory.js';
import { sheetSize } from '../raster/placement.js';
import type { Bitmap, Gray } from '../raster/raster.js';
import type { Sheet } from '../settings/card.js';
import { rectangle } from './basic-outlines.js';
import { flatten } from './flatten.js';
import { isSheetEdge } from './outline.js';
import type { Shape } from './shape.js';

/** How far a polygon may lie off its curve, too little to be seen. */
const TOLERANCE_PX = 0.04;

/**
 * How much of each pixel the openings cover, 0 none to 255 all: exact for the flattened outlines.
 *
 * Every edge adds to the pixels that it crosses the area it bounds to their right; a running sum along the row
 * then gives the covered area. The method of font rasterisers: R. Levien, "Inside the fastest font renderer in
 * the world" (2016), after the accumulation buffer of libart.
 *
 * The shapes must not overlap one another, and the holes must lie in their outer outlines.
 *
 * @param width,height the picture's size in px
 * @param pixelsPerMm px a millimetre
 */
export function coverage(
  shapes: readonly Shape[],
  width: number,
  height: number,
  pixelsPerMm: number,
): Gray {
  const covered = cover(shapes, width, height, pixelsPerMm);
  return { width, height, data: covered.slice() };
}

/** The pixels that the openings cover by half or more; like `coverage`. */
export function halfCovered(
  shapes: readonly Shape[],
  width: number,
  height: number,
  pixelsPerMm: number,
): Bitmap {
  const covered = cover(shapes, width, height, pixelsPerMm);
  kernels.markFrom(covered, covered.length, HALF);
  return { width, height, data: covered.slice() };
}

/**
 * The pixels of a sheet that the openings cover by half or more. An opening that reaches the sheet's edge all round, as a
 * mask's surroundings do, covers the last pixel of a row, too, of which less than half may lie on the sheet.
 */
export function halfCoveredSheet(
  shapes: readonly Shape[],
  sheet: Sheet,
  pixelsPerMm: number,
): Bitmap {
  const { width, height } = sheetSize(sheet, pixelsPerMm);
  const edge = rectangle(0, 0, width / pixelsPerMm, height / pixelsPerMm);
  const whole = shapes.map((shape) =>
    isSheetEdge(shape.outer, sheet) ? { ...shape, outer: edge } : shape,
  );
  return halfCovered(whole, width, height, pixelsPerMm);
}

/** The first whole coverage over half of 255. */
const HALF = 128;

function cover(
  shapes: readonly Shape[],
  width: number,
  height: number,
  pixelsPerMm: number,
): Uint8Array {
  const tolerance = TOLERANCE_PX / pixelsPerMm;
  const polygons = shapes.flatMap(({ outer, holes }) => [
    { points: flatten(outer, tolerance), sign: 1 },
    ...holes.map((hole) => ({ points: flatten(hole, tolerance), sign: -1 })),
  ]);
  const longest = polygons.reduce((most, { points }) => Math.max(most, points.length), 0);
  const [room, cells, data] = kernelArrays(
    [Float64Array, longest],
    [Float32Array, (width + kernels.SPARE_CELLS) * height],
    [Uint8Array, width * height],
  );
  cells.fill(0);
  for (const { points, sign } of polygons) {
    room.set(points);
    kernels.addOutline(room, points.length, pixelsPerMm, sign, width, height, cells);
  }
  kernels.sumUpCells(cells, width, height, data);
  return data;
}
