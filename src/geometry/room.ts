import type { Bitmap } from '../raster/raster.js';
import type { Corner } from './corners.js';
import type { Stations } from './stations.js';

/** How far the outline may move at each station, in mm: into the film, and into the opening. */
export interface Room {
  readonly film: Float64Array;
  readonly opening: Float64Array;
}

/** What an outline has about it. */
export interface Surroundings {
  readonly bitmap: Bitmap;
  readonly pixelsPerMm: number;
  /** The least widths, in mm. */
  readonly narrowestStrip: number;
  readonly narrowestOpening: number;
  /** The box round all openings, in mm: none may reach beyond it, for the margin may begin there. */
  readonly frame: Frame;
}

export interface Frame {
  readonly left: number;
  readonly top: number;
  readonly right: number;
  readonly bottom: number;
}

/** The box round all openings of a bitmap, in mm. */
export function frameOf({ width, height, data }: Bitmap, pixelsPerMm: number): Frame {
  let left = width;
  let right = 0;
  let top = height;
  let bottom = 0;
  for (let y = 0; y < height; y++) {
    const row = data.subarray(y * width, (y + 1) * width);
    const first = row.indexOf(1);
    if (first < 0) continue;
    top = Math.min(top, y);
    bottom = y + 1;
    left = Math.min(left, first);
    right = Math.max(right, row.lastIndexOf(1) + 1);
  }
  return {
    left: left / pixelsPerMm,
    top: top / pixelsPerMm,
    right: right / pixelsPerMm,
    bottom: bottom / pixelsPerMm,
  };
}

/** A curve cannot follow a line to the last digit. */
const FRAME_SLACK_MM = 0.02;

/**
 * Along so many stations, if the traced outline is as straight as this, it stays so: a straight edge that bows is
 * seen at once.
 */
const STRAIGHT_STATIONS = 28;
const STRAIGHT_MM = 0.02;

/** What a thin place may lose: the limits that the bitmap keeps have a little to spare for it. */
const LEAST_MM = 0.08;
const LOOK_PAST_MM = 0.6;

/**
 * Measures the film and the opening straight across from every station, and gives each side half of what it is
 * wider than its limit: the other half is the opposite outline's to take.
 *
 * @param mostMm the most that an outline may move where all is wide
 * @returns 0 on both sides at corners
 */
export function measureRoom(stations: Stations, about: Surroundings, mostMm: number): Room {
  const { pixelsPerMm, narrowestStrip, narrowestOpening, frame } = about;
  const n = stations.x.length;
  const film = new Float64Array(n);
  const opening = new Float64Array(n);
  const half = (width: number, limit: number): number => {
    const least = Math.min(LEAST_MM, width / 4);
    return Math.min(mostMm, Math.max(least, (width - 0.5 / pixelsPerMm - limit) / 2));
  };
  for (let i = 0; i < n; i++) {
    if (stations.corner[i]) continue;
    const strip = widthAcross(stations, i, 1, about, narrowestStrip);
    const gap = widthAcross(stations, i, -1, about, narrowestOpening);
    film[i] = Math.min(half(strip, narrowestStrip), withinFrame(stations, i, frame));
    opening[i] = half(gap, narrowestOpening);
  }
  keepStraights(stations, film, opening);
  return { film, opening };
}

/** How far a station may move into the film without leaving the frame, in mm. */
function withinFrame({ x, y, normalX, normalY }: Stations, i: number, frame: Frame): number {
  const [dx, dy] = [normalX[i], normalY[i]];
  const acrossX = dx > 0 ? (frame.right - x[i]) / dx : (frame.left - x[i]) / dx;
  const acrossY = dy > 0 ? (frame.bottom - y[i]) / dy : (frame.top - y[i]) / dy;
  return Math.max(
    FRAME_SLACK_MM,
    Math.min(dx === 0 ? Infinity : acrossX, dy === 0 ? Infinity : acrossY),
  );
}

function keepStraights(
  { x, y, corner }: Stations,
  film: Float64Array,
  opening: Float64Array,
): void {
  const n = x.length;
  if (n < 2 * STRAIGHT_STATIONS) return;
  for (let i = 0; i < n; i++) {
    const end = (i + STRAIGHT_STATIONS) % n;
    const dx = x[end] - x[i];
    const dy = y[end] - y[i];
    const most = STRAIGHT_MM * Math.hypot(dx, dy);
    let k = 1;
    for (; k < STRAIGHT_STATIONS; k++) {
      const j = (i + k) % n;
      if (corner[j] || Math.abs(dx * (y[j] - y[i]) - dy * (x[j] - x[i])) > most) break;
    }
    if (k < STRAIGHT_STATIONS) continue;
    for (k = 0; k <= STRAIGHT_STATIONS; k++) {
      const j = (i + k) % n;
      film[j] = Math.min(film[j], LEAST_MM);
      opening[j] = Math.min(opening[j], LEAST_MM);
    }
  }
}

/** The length, in mm, of the straight way across the film (side 1) or the opening (side -1); Infinity when long. */
function widthAcross(
  { x, y, normalX, normalY }: Stations,
  i: number,
  side: 1 | -1,
  { bitmap, pixelsPerMm }: Surroundings,
  limit: number,
): number {
  const stop = side === 1 ? 1 : 0;
  const most = (limit + LOOK_PAST_MM) * pixelsPerMm;
  const dx = side * normalX[i];
  const dy = side * normalY[i];
  // The first pixel or two are the stair that the outline itself runs along.
  return (
    pixelsUntil(bitmap, stop, x[i] * pixelsPerMm, y[i] * pixelsPerMm, dx, dy, 2, most) / pixelsPerMm
  );
}

/** Steps of a pixel along a ray until it meets a pixel of value `stop`; Infinity when there is none in `most` steps. */
function pixelsUntil(
  { width, height, data }: Bitmap,
  stop: number,
  x: number,
  y: number,
  dx: number,
  dy: number,
  first: number,
  most: number,
): number {
  for (let k = first; k <= most; k++) {
    const px = Math.floor(x + k * dx);
    const py = Math.floor(y + k * dy);
    const outside = px < 0 || py < 0 || px >= width || py >= height;
    if ((outside ? 0 : data[py * width + px]) === stop) return k;
  }
  return Infinity;
}

/** A corner at its place, or at the edge of the frame when it lies beyond. */
export function keptInFrame(corner: Corner, { left, top, right, bottom }: Frame): Corner {
  const within = (value: number, least: number, most: number): number =>
    Math.min(most + FRAME_SLACK_MM, Math.max(least - FRAME_SLACK_MM, value));
  return { ...corner, x: within(corner.x, left, right), y: within(corner.y, top, bottom) };
}

/** A corner this near the traced outline takes nothing from either side. */
const NEAR_MM = 0.05;
const FAN = [-1.4, -1, -0.5, 0, 0.5, 1, 1.4]; // radians

/** Whether a corner may be drawn sharp: what lies beyond it, film or opening, stays as wide as its limit. */
export function hasRoom(
  { x, y, offMm, way, left }: Corner,
  { bitmap, pixelsPerMm, narrowestStrip, narrowestOpening }: Surroundings,
): boolean {
  if (offMm <= NEAR_MM) return true;
  const limit = left ? narrowestStrip : narrowestOpening; // film lies to the left
  const stop = left ? 1 : 0;
  const most = limit * pixelsPerMm + 1;
  const [px, py] = [x * pixelsPerMm, y * pixelsPerMm];
  return FAN.every((turn) => {
    const [dx, dy] = [Math.cos(way + turn), Math.sin(way + turn)];
    return pixelsUntil(bitmap, stop, px, py, dx, dy, 3, most) === Infinity;
  });
}
