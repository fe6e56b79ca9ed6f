import { boxOfPoints } from '../geometry/bounding-box.js';
import type { Point } from '../geometry/shape.js';
import { squaredDistance } from '../raster/distance.js';
import { boxRound, cropped } from '../raster/crop.js';
import { opened } from '../raster/morphology.js';
import type { Bitmap } from '../raster/raster.js';
import { polygonMask, type Founded } from './contrast.js';
import type { FaceWindow } from './window.js';

/** What a mark must have to be cut, in mm; areas in mm². */
export interface MarkLimits {
  readonly opening: number;
  readonly strip: number;
  readonly smallest: number;
}

/** Where, between a feature's dark and what is round it, the mark ends. */
const LEVEL = 0.5;
/** The picture's own shape of a feature is looked for so far beyond its outline, in mm. */
const BEYOND_MM = 0.5;
/** A mark is a little wider than can be cut, in mm: room for the grid and for easing. */
export const ROOM_MM = 0.2;
/** … and larger than the smallest, by this share: easing takes up to a fifth of one. */
export const ROOM_SHARE = 0.3;
/** An eye that is less than so many times as long as its mark is wide is a dot; it is made longer … */
const SLIT = 2;
/** … by no more than this factor. */
const LONGER = 1.3;
/** A feature is made longer than it is by no more than this factor: beyond it, it is another's face. */
const MOST_GROWN = 2;

/**
 * A mark that can be cut for a feature; undefined when it would have to grow too much.
 *
 * @param isLight whether the feature is lighter than what is round it: then the limits are those of film
 */
export function featureMark(
  window: FaceWindow,
  { name, axis, outline, contrast: { dark, light } }: Founded,
  { opening, smallest }: Pick<MarkLimits, 'opening' | 'smallest'>,
  isLight = false,
): Bitmap | undefined {
  const { width, lightness, pixelsPerMm } = window;
  const thick = opening + ROOM_MM;
  // A stroke with round ends, of this length between their centres, is as large as the smallest opening.
  const round = (Math.PI * thick * thick) / 4;
  const least = Math.max(0, (smallest * (1 + ROOM_SHARE) - round) / thick) * pixelsPerMm;
  const long = polylineLength(axis);
  // The round ends reach out by half of the stroke's width.
  const slit = name === 'mouth' ? 0 : Math.min(LONGER * long, SLIT * thick * pixelsPerMm);
  const wanted = Math.max(Math.max(long, slit) - opening * pixelsPerMm, least);
  if (wanted + thick * pixelsPerMm > MOST_GROWN * Math.max(long, opening * pixelsPerMm)) {
    return undefined;
  }
  const stroke = strokeMask(window, scaled(axis, wanted / long), (thick / 2) * pixelsPerMm);
  const outlined = polygonMask(window, outline);
  // With a rim, so that a shape's own edge lies within.
  const box = boxRound(outlined, Math.ceil(BEYOND_MM * pixelsPerMm) + 1);
  const near = squaredDistance(cropped(outlined, box), 1, BEYOND_MM * pixelsPerMm + 1);
  const level = light - LEVEL * (light - dark);
  const shape = new Uint8Array(near.length);
  const reach = (BEYOND_MM * pixelsPerMm) ** 2;
  const place = (k: number): number =>
    (box.y + Math.floor(k / box.width)) * width + box.x + (k % box.width);
  for (let k = 0; k < shape.length; k++) {
    shape[k] = near[k] <= reach && lightness[place(k)] < level !== isLight ? 1 : 0;
  }
  const wide = opened({ ...box, data: shape }, (thick / 2) * pixelsPerMm).data;
  for (let k = wide.indexOf(1); k >= 0; k = wide.indexOf(1, k + 1)) stroke.data[place(k)] = 1;
  return stroke;
}

/** All marks in one. */
export function unionOf([first, ...others]: readonly Bitmap[]): Bitmap {
  const data = first.data.slice();
  for (const { data: marked } of others) {
    for (let i = marked.indexOf(1); i >= 0; i = marked.indexOf(1, i + 1)) data[i] = 1;
  }
  return { ...first, data };
}

/** The nearest distance between two marks, in px; 0 when they meet, Infinity when it is more than `most`. */
export function gapOf(a: Bitmap, b: Bitmap, most: number): number {
  const box = boxRound(a, Math.ceil(most));
  if (box.width === 0) return Infinity;
  const away = squaredDistance(cropped(a, box), 1, most);
  const there = cropped(b, box).data;
  let least = Infinity;
  for (let i = 0; i < away.length; i++) if (there[i] === 1) least = Math.min(least, away[i]);
  return Math.sqrt(least);
}

/** A mark moved by whole pixels. */
export function shiftedMask({ width, height, data }: Bitmap, dx: number, dy: number): Bitmap {
  const there = new Uint8Array(data.length);
  for (let y = 0; y < height; y++) {
    const from = y - dy;
    if (from < 0 || from >= height) continue;
    for (let x = Math.max(0, dx); x < Math.min(width, width + dx); x++) {
      there[y * width + x] = data[from * width + x - dx];
    }
  }
  return { width, height, data: there };
}

function strokeMask(
  { width, height }: Pick<FaceWindow, 'width' | 'height'>,
  axis: readonly Point[],
  radius: number,
): Bitmap {
  const data = new Uint8Array(width * height);
  const [xs, ys] = [axis.map(({ x }) => x), axis.map(({ y }) => y)];
  const [left, top] = [xs, ys].map((at) => Math.max(0, Math.floor(Math.min(...at) - radius)));
  const right = Math.min(width, Math.ceil(Math.max(...xs) + radius) + 1);
  const bottom = Math.min(height, Math.ceil(Math.max(...ys) + radius) + 1);
  for (let y = top; y < bottom; y++) {
    for (let x = left; x < right; x++) {
      if (distanceToPolyline(axis, x + 0.5, y + 0.5) <= radius) data[y * width + x] = 1;
    }
  }
  return { width, height, data };
}

function distanceToPolyline(axis: readonly Point[], x: number, y: number): number {
  let least = Infinity;
  for (let k = 0; k + 1 < axis.length; k++) {
    const [a, b] = [axis[k], axis[k + 1]];
    const [dx, dy] = [b.x - a.x, b.y - a.y];
    const squared = dx * dx + dy * dy;
    const along = squared > 0 ? ((x - a.x) * dx + (y - a.y) * dy) / squared : 0;
    const share = Math.min(Math.max(along, 0), 1);
    least = Math.min(least, Math.hypot(x - a.x - share * dx, y - a.y - share * dy));
  }
  return least;
}

function polylineLength(axis: readonly Point[]): number {
  let length = 0;
  for (let k = 0; k + 1 < axis.length; k++) {
    length += Math.hypot(axis[k + 1].x - axis[k].x, axis[k + 1].y - axis[k].y);
  }
  return length;
}

/** A line scaled about the middle of its box. */
function scaled(axis: readonly Point[], by: number): Point[] {
  const [left, top, right, bottom] = boxOfPoints(axis);
  const middle = { x: (left + right) / 2, y: (top + bottom) / 2 };
  return axis.map(({ x, y }) => ({
    x: middle.x + by * (x - middle.x),
    y: middle.y + by * (y - middle.y),
  }));
}
