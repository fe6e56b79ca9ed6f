import type { Bounds } from './bounding-box.js';
import type { Bitmap } from '../raster/raster.js';
import type { Corner } from './corners.js';
import type { ArcLengthSamples } from './arc-length-samples.js';

/** How far the outline may move at each sample, in mm: into the film, and into the opening. */
export interface Clearance {
  readonly film: Float64Array;
  readonly opening: Float64Array;
}

/** What an outline has about it. */
export interface OutlineGround {
  readonly bitmap: Bitmap;
  readonly pixelsPerMm: number;
  /** The least widths, in mm. */
  readonly narrowestStrip: number;
  readonly narrowestOpening: number;
  /** The box round all openings, in mm: none may reach beyond it, for the margin may begin there. */
  readonly openingsBox: Bounds;
}

/** The box round all openings of a bitmap, in mm. */
export function openingsBoxOf({ width, height, data }: Bitmap, pixelsPerMm: number): Bounds {
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

/**
 * A curve cannot follow a line to the last digit, in mm: so far an outline may come over the margin, less than half of
 * what the check lets pass.
 */
const BOX_SLACK_MM = 0.02;

/** An outline may move so far, in mm, even where a width is at its limit: `widen` leaves 0.2 mm to spare for it. */
const LEAST_MM = 0.08;
/** But no further than this part of the width there: half of it would be left if both its sides moved so. */
const LEAST_SHARE = 1 / 4;
/** How far beyond the limit a ray looks, in mm: what is wider than that counts as unlimited. */
const LOOK_PAST_MM = 0.6;
/** The first pixel or two of a ray across an outline are the stair that the outline itself runs along. */
const STAIR_PX = 2;

/**
 * Along so many samples, if the traced outline is as straight as this, it stays so: a straight edge that bows is
 * seen at once.
 */
const STRAIGHT_SAMPLES = 28;
const STRAIGHT_MM = 0.02;

/**
 * Measures an outline's clearance: straight across from each sample half of what film and opening are wider than their
 * limits, the other half being the opposite outline's to take.
 *
 * @param mostMm the most that an outline may move where all is wide
 * @returns in mm; 0 on both sides at corners
 */
export function measureClearance(
  samples: ArcLengthSamples,
  about: OutlineGround,
  mostMm: number,
): Clearance {
  const { bitmap, pixelsPerMm, narrowestStrip, narrowestOpening, openingsBox } = about;
  const { x, y, normalX, normalY, corner } = samples;
  const n = x.length;
  const film = new Float64Array(n);
  const opening = new Float64Array(n);
  const spare = 0.5 / pixelsPerMm;
  const half = (width: number, limit: number): number => {
    const least = Math.min(LEAST_MM, LEAST_SHARE * width);
    return Math.min(mostMm, Math.max(least, (width - spare - limit) / 2));
  };
  const mostFilm = (narrowestStrip + LOOK_PAST_MM) * pixelsPerMm;
  const mostOpening = (narrowestOpening + LOOK_PAST_MM) * pixelsPerMm;
  for (let i = 0; i < n; i++) {
    if (corner[i]) continue;
    const dx = normalX[i];
    const dy = normalY[i];
    const px = x[i] * pixelsPerMm;
    const py = y[i] * pixelsPerMm;
    const across = stepsUntil(bitmap, 1, px, py, dx, dy, STAIR_PX, mostFilm);
    const back = stepsUntil(bitmap, 0, px, py, -dx, -dy, STAIR_PX, mostOpening);
    const wayX = untilEdge(x[i], dx, openingsBox.left, openingsBox.right);
    const wayY = untilEdge(y[i], dy, openingsBox.top, openingsBox.bottom);
    const withinFrame = Math.max(BOX_SLACK_MM, Math.min(wayX, wayY));
    film[i] = Math.min(half(across / pixelsPerMm, narrowestStrip), withinFrame);
    opening[i] = half(back / pixelsPerMm, narrowestOpening);
  }
  if (n >= 2 * STRAIGHT_SAMPLES) keepStraights(samples, { film, opening });
  return { film, opening };
}

/** How far one coordinate may move the way that it goes before it leaves the box, in mm. */
function untilEdge(place: number, way: number, least: number, most: number): number {
  if (way === 0) return Infinity;
  return way > 0 ? (most - place) / way : (least - place) / way;
}

/**
 * Steps of a pixel along a ray until it meets a pixel of value `stop`; beyond the bitmap all is film.
 *
 * @param x,y,dx,dy where the ray begins, in px, and its direction
 * @returns Infinity when there is none from the step `first` on in `most` steps
 */
function stepsUntil(
  { width, height, data }: Bitmap,
  stop: 0 | 1,
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

/** Takes the clearance off stretches that are straight. Writes to it. */
function keepStraights(samples: ArcLengthSamples, { film, opening }: Clearance): void {
  const n = film.length;
  for (let i = 0; i < n; i++) {
    if (!isStraightFrom(i, samples)) continue;
    for (let k = 0; k <= STRAIGHT_SAMPLES; k++) {
      const j = (i + k) % n;
      film[j] = Math.min(film[j], LEAST_MM);
      opening[j] = Math.min(opening[j], LEAST_MM);
    }
  }
}

function isStraightFrom(i: number, { x, y, corner }: ArcLengthSamples): boolean {
  const n = x.length;
  const end = (i + STRAIGHT_SAMPLES) % n;
  const dx = x[end] - x[i];
  const dy = y[end] - y[i];
  const most = STRAIGHT_MM * Math.hypot(dx, dy);
  for (let k = 1; k < STRAIGHT_SAMPLES; k++) {
    const j = (i + k) % n;
    if (corner[j] || Math.abs(dx * (y[j] - y[i]) - dy * (x[j] - x[i])) > most) return false;
  }
  return true;
}

/** A corner at its place, or at the edge of the box when it lies beyond. */
function keptInBox(corner: Corner, { left, top, right, bottom }: Bounds): Corner {
  const within = (value: number, least: number, most: number): number =>
    Math.min(most + BOX_SLACK_MM, Math.max(least - BOX_SLACK_MM, value));
  return { ...corner, x: within(corner.x, left, right), y: within(corner.y, top, bottom) };
}

/** A corner this near the traced outline, in mm (half a pixel of the raster), takes nothing from either side. */
const NEAR_MM = 0.05;
/**
 * Directions in which a corner's room is looked at, in radians round the one that it points in: as far to the sides as
 * its own sides allow.
 */
const FAN = [-1.4, -1, -0.5, 0, 0.5, 1, 1.4]; // radians
/** Its room is looked at from so many pixels on: nearer, the rounded trace of the corner itself would be met. */
const FROM_PX = 3;

/** Of each outline the corners that may be drawn sharp: what lies beyond, film or opening, stays as wide as its limit. */
export function cornersWithClearance(
  outlines: readonly (readonly Corner[])[],
  { bitmap, pixelsPerMm, narrowestStrip, narrowestOpening, openingsBox }: OutlineGround,
): Corner[][] {
  const hasRoom = ({ x, y, offMm, way, left }: Corner): boolean => {
    if (offMm <= NEAR_MM) return true;
    const limit = left ? narrowestStrip : narrowestOpening; // film lies to the left
    const most = limit * pixelsPerMm + 1;
    return FAN.every((turn) => {
      const [px, py] = [x * pixelsPerMm, y * pixelsPerMm];
      const [dx, dy] = [Math.cos(way + turn), Math.sin(way + turn)];
      return stepsUntil(bitmap, left ? 1 : 0, px, py, dx, dy, FROM_PX, most) === Infinity;
    });
  };
  return outlines.map((corners) =>
    corners.filter(hasRoom).map((corner) => keptInBox(corner, openingsBox)),
  );
}
