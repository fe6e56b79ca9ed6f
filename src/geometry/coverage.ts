import { sheetSize } from '../raster/placement.js';
import type { Bitmap, Gray } from '../raster/raster.js';
import type { Sheet } from '../settings/card.js';
import { rectangle } from './basic-outlines.js';
import { flatten } from './flatten.js';
import { isSheetEdge } from './outline.js';
import type { Shape } from './shape.js';
import { signedArea } from './signed-area.js';

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
  const cells = signedAreas(shapes, width, height, pixelsPerMm);
  const data = new Uint8Array(width * height);
  for (let row = 0; row < height; row++) {
    let sum = 0;
    for (let i = row * (width + SPARE_CELLS), to = row * width; to < (row + 1) * width; i++, to++) {
      sum += cells[i];
      data[to] = byteOf(sum);
    }
  }
  return { width, height, data };
}

/** The pixels that the openings cover by half or more; like `coverage`. */
export function halfCovered(
  shapes: readonly Shape[],
  width: number,
  height: number,
  pixelsPerMm: number,
): Bitmap {
  const { data } = coverage(shapes, width, height, pixelsPerMm);
  for (let i = 0; i < data.length; i++) data[i] = data[i] >= HALF ? 1 : 0;
  return { width, height, data };
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

/** A share of a pixel, 0 none to 1 all of it, as a byte; rounding errors may lead a little beyond. */
const byteOf = (share: number): number =>
  share <= 0 ? 0 : share >= 1 ? 255 : Math.floor(share * 255 + 0.5);

/** Cells that each row has beyond its pixels, for what lies at its right edge: an edge there writes to the two next. */
const SPARE_CELLS = 2;

/**
 * The signed areas, in pixels, that the outlines bound in each pixel and pass on to all that lie to its right: a running
 * sum along a row is what is covered. Each row has `SPARE_CELLS` more than its pixels.
 */
function signedAreas(
  shapes: readonly Shape[],
  width: number,
  height: number,
  pixelsPerMm: number,
): Float32Array {
  const tolerance = TOLERANCE_PX / pixelsPerMm;
  const cells: Cells = { width, height, data: new Float32Array((width + SPARE_CELLS) * height) };
  for (const { outer, holes } of shapes) {
    addPolygon(cells, flatten(outer, tolerance), 1, pixelsPerMm);
    for (const hole of holes) addPolygon(cells, flatten(hole, tolerance), -1, pixelsPerMm);
  }
  return cells.data;
}

/** Signed areas of a picture of so many pixels each way. */
interface Cells {
  readonly width: number;
  readonly height: number;
  readonly data: Float32Array;
}

/**
 * Adds (sign 1) or takes off (sign -1) what a polygon encloses, whichever way round it runs. Writes to the cells.
 *
 * @param points x and y by turns, in mm
 */
function addPolygon(cells: Cells, points: Float64Array, sign: 1 | -1, pixelsPerMm: number): void {
  const n = points.length;
  const direction = signedArea(points) < 0 ? -sign : sign;
  let x0 = clamp(points[n - 2] * pixelsPerMm, cells.width);
  let y0 = clamp(points[n - 1] * pixelsPerMm, cells.height);
  for (let i = 0; i < n; i += 2) {
    const x1 = clamp(points[i] * pixelsPerMm, cells.width);
    const y1 = clamp(points[i + 1] * pixelsPerMm, cells.height);
    if (y1 > y0) addEdge(cells, x0, y0, x1, y1, -direction);
    else if (y1 < y0) addEdge(cells, x1, y1, x0, y0, direction);
    x0 = x1;
    y0 = y1;
  }
}

const clamp = (value: number, most: number): number => Math.min(Math.max(value, 0), most);

/** An edge that runs down from (x0, y0) to (x1, y1), in px; `direction` 1 or -1. */
function addEdge(
  { width, height, data }: Cells,
  x0: number,
  y0: number,
  x1: number,
  y1: number,
  direction: number,
): void {
  const slope = (x1 - x0) / (y1 - y0);
  const lastRow = Math.min(height, Math.ceil(y1));
  let x = x0;
  for (let row = Math.floor(y0); row < lastRow; row++) {
    const dy = Math.min(row + 1, y1) - Math.max(row, y0);
    const next = x + slope * dy;
    const start = row * (width + SPARE_CELLS);
    addInRow(data, start, Math.min(x, next), Math.max(x, next), direction * dy);
    x = next;
  }
}

/** The middle of the second pixel that an edge crosses, in px from the left side of the first. */
const SECOND_MIDDLE = 1.5;

/**
 * The part of an edge within one row.
 *
 * @param start the row's first cell
 * @param left,right from where to where it runs, in px
 * @param d its signed height, in px: -1 to 1
 */
function addInRow(
  cells: Float32Array,
  start: number,
  left: number,
  right: number,
  d: number,
): void {
  const first = Math.floor(left);
  const end = Math.ceil(right);
  const at = start + first;
  if (end <= first + 1) {
    const middle = (left + right) / 2 - first;
    cells[at] += d * (1 - middle);
    cells[at + 1] += d * middle;
    return;
  }
  const perPx = 1 / (right - left);
  const inFirst = 1 - (left - first);
  const inLast = right - end + 1;
  const firstArea = 0.5 * perPx * inFirst * inFirst;
  const lastArea = 0.5 * perPx * inLast * inLast;
  cells[at] += d * firstArea;
  const last = start + end;
  if (end === first + 2) {
    cells[at + 1] += d * (1 - firstArea - lastArea);
  } else {
    const upToSecond = perPx * (SECOND_MIDDLE - (left - first));
    cells[at + 1] += d * (upToSecond - firstArea);
    for (let i = at + 2; i < last - 1; i++) cells[i] += d * perPx;
    const upToLast = upToSecond + (end - first - 3) * perPx;
    cells[last - 1] += d * (1 - upToLast - lastArea);
  }
  cells[last] += d * lastArea;
}
