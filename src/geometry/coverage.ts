import type { Gray } from '../raster/raster.js';
import { flatten } from './flatten.js';
import type { Outline, Shape } from './shape.js';

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
  const sums = new Sums(width, height);
  for (const { outer, holes } of shapes) {
    sums.addOutline(outer, pixelsPerMm, 1);
    for (const hole of holes) sums.addOutline(hole, pixelsPerMm, -1);
  }
  return { width, height, data: sums.toCoverage() };
}

/** Signed areas, one row of pixels after another, each row with two spare cells for what lies at its right edge. */
class Sums {
  private readonly stride: number;
  private readonly cells: Float32Array;

  constructor(
    private readonly width: number,
    private readonly height: number,
  ) {
    this.stride = width + 2;
    this.cells = new Float32Array(this.stride * height);
  }

  /** Adds (sign 1) or takes off (sign -1) what the outline encloses, whichever way round it runs. */
  addOutline(outline: Outline, pixelsPerMm: number, sign: 1 | -1): void {
    const points = flatten(outline, TOLERANCE_PX / pixelsPerMm);
    const direction = (doubleArea(points) < 0 ? -1 : 1) * sign;
    const n = points.length;
    let x0 = this.clampX(points[n - 2] * pixelsPerMm);
    let y0 = this.clampY(points[n - 1] * pixelsPerMm);
    for (let i = 0; i < n; i += 2) {
      const x1 = this.clampX(points[i] * pixelsPerMm);
      const y1 = this.clampY(points[i + 1] * pixelsPerMm);
      if (y1 > y0) this.addEdge(x0, y0, x1, y1, -direction);
      else if (y1 < y0) this.addEdge(x1, y1, x0, y0, direction);
      x0 = x1;
      y0 = y1;
    }
  }

  /** An edge that runs down from (x0, y0) to (x1, y1), in px. */
  private addEdge(x0: number, y0: number, x1: number, y1: number, direction: number): void {
    const slope = (x1 - x0) / (y1 - y0);
    const lastRow = Math.min(this.height, Math.ceil(y1));
    let x = x0;
    for (let row = Math.floor(y0); row < lastRow; row++) {
      const dy = Math.min(row + 1, y1) - Math.max(row, y0);
      const next = x + slope * dy;
      this.addRow(row * this.stride, Math.min(x, next), Math.max(x, next), direction * dy);
      x = next;
    }
  }

  /** The part of an edge within one row, from `left` to `right` px, whose signed height is `d`. */
  private addRow(row: number, left: number, right: number, d: number): void {
    const { cells } = this;
    const first = Math.floor(left);
    const end = Math.ceil(right);
    const at = row + first;
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
    if (end === first + 2) {
      cells[at + 1] += d * (1 - firstArea - lastArea);
    } else {
      const upToSecond = perPx * (1.5 - (left - first));
      cells[at + 1] += d * (upToSecond - firstArea);
      for (let i = first + 2; i < end - 1; i++) cells[row + i] += d * perPx;
      const upToLast = upToSecond + (end - first - 3) * perPx;
      cells[row + end - 1] += d * (1 - upToLast - lastArea);
    }
    cells[row + end] += d * lastArea;
  }

  toCoverage(): Uint8Array {
    const { width, height, stride, cells } = this;
    const data = new Uint8Array(width * height);
    for (let row = 0; row < height; row++) {
      let sum = 0;
      for (let i = row * stride, to = row * width; to < (row + 1) * width; i++, to++) {
        sum += cells[i];
        data[to] = sum <= 0 ? 0 : sum >= 1 ? 255 : sum * 255 + 0.5;
      }
    }
    return data;
  }

  private clampX(x: number): number {
    return Math.min(Math.max(x, 0), this.width);
  }

  private clampY(y: number): number {
    return Math.min(Math.max(y, 0), this.height);
  }
}

/** Twice the polygon's signed area: positive where it runs clockwise on the sheet (y down). */
function doubleArea(points: Float64Array): number {
  const n = points.length;
  let sum = 0;
  for (let i = 0, before = n - 2; i < n; before = i, i += 2) {
    sum += points[before] * points[i + 1] - points[i] * points[before + 1];
  }
  return sum;
}
