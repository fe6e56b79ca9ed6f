import { saliencyAt } from '../../raster/saliency.js';
import type { ErodedFilm } from './eroded-film.js';

/**
 * From this length on, in mm, a bridge reads as a line of its own, a rail, and not as a gap in what it crosses. By eye, on
 * faces in chalk and lamps at night: 5 mm pass for a gap, 7 mm do not.
 */
export const LONG_MM = 6;

/** A straight line on the film, in px. */
export interface LineSegment {
  readonly x0: number;
  readonly y0: number;
  readonly x1: number;
  readonly y1: number;
}

/** Whether an opening lies at a place, in px; beyond the sheet there is none. */
export function isOpenAt({ bitmap }: ErodedFilm, x: number, y: number): boolean {
  const { width, height, data } = bitmap;
  if (x < 0 || y < 0 || x >= width || y >= height) return false;
  return data[Math.floor(y) * width + Math.floor(x)] === 1;
}

/** How much the pixel at a place, in px, matters; 1 where all places matter alike. */
export function importanceAt({ saliency }: ErodedFilm, x: number, y: number): number {
  return saliency ? saliencyAt(saliency, Math.floor(x), Math.floor(y)) : 1;
}

/** What a line's own length adds to what it crosses: of lines that cross as much, the shorter one has less. */
const LENGTH_WEIGHT = 1e-3;

/** How much of a line lies in openings, in px, each place as it matters, and a little for its length. */
export function openAlong(film: ErodedFilm, { x0, y0, x1, y1 }: LineSegment): number {
  const length = Math.hypot(x1 - x0, y1 - y0);
  const steps = Math.ceil(length);
  let sum = 0;
  for (let i = 1; i < steps; i++) {
    const x = x0 + ((x1 - x0) * i) / steps;
    const y = y0 + ((y1 - y0) * i) / steps;
    if (isOpenAt(film, x, y)) sum += importanceAt(film, x, y);
  }
  return sum + LENGTH_WEIGHT * length;
}
