import { hypot } from './math';

/**
 * Along so many stations, if the traced outline is as straight as this, it stays so: a straight edge that bows is
 * seen at once.
 */
const STRAIGHT_STATIONS = 28;
const STRAIGHT_MM: f64 = 0.02;

/** What a thin place may lose: the limits that the bitmap keeps have a little to spare for it. */
const LEAST_MM: f64 = 0.08;
const LOOK_PAST_MM: f64 = 0.6;

/**
 * Measures the film and the opening straight across from each of an outline's `n` stations, and gives each side half of
 * what it is wider than its limit: the other half is the opposite outline's to take.
 *
 * @param data the bitmap, 1 an opening
 * @param strip,gap the least widths of film and opening, in mm
 * @param mostMm the most that an outline may move where all is wide
 * @param leastMm the least that it may move, however near the frame is
 * @param left,top,right,bottom the frame, in mm: no outline may move out of it
 * @param x,y,normalX,normalY,corner the stations in mm, their normals into the film, and 1 where there is a corner
 * @param film,opening the room on both sides, in mm; 0 at corners
 */
export function measureRoom(
  data: StaticArray<u8>,
  width: i32,
  height: i32,
  pixelsPerMm: f64,
  strip: f64,
  gap: f64,
  mostMm: f64,
  leastMm: f64,
  left: f64,
  top: f64,
  right: f64,
  bottom: f64,
  n: i32,
  x: StaticArray<f64>,
  y: StaticArray<f64>,
  normalX: StaticArray<f64>,
  normalY: StaticArray<f64>,
  corner: StaticArray<u8>,
  film: StaticArray<f64>,
  opening: StaticArray<f64>,
): void {
  for (let i = 0; i < n; i++) {
    film[i] = 0;
    opening[i] = 0;
    if (corner[i]) continue;
    const dx = normalX[i];
    const dy = normalY[i];
    const px = x[i] * pixelsPerMm;
    const py = y[i] * pixelsPerMm;
    // The first pixel or two are the stair that the outline itself runs along.
    const mostFilm = (strip + LOOK_PAST_MM) * pixelsPerMm;
    const across = stepsUntil(data, width, height, 1, px, py, dx, dy, 2, mostFilm);
    const mostOpening = (gap + LOOK_PAST_MM) * pixelsPerMm;
    const back = stepsUntil(data, width, height, 0, px, py, -dx, -dy, 2, mostOpening);
    const spare = 0.5 / pixelsPerMm;
    const wayX = inFrame(x[i], dx, left, right);
    const wayY = inFrame(y[i], dy, top, bottom);
    const withinFrame = max(leastMm, min(wayX, wayY));
    film[i] = min(half(across / pixelsPerMm, strip, spare, mostMm), withinFrame);
    opening[i] = half(back / pixelsPerMm, gap, spare, mostMm);
  }
  if (n >= 2 * STRAIGHT_STATIONS) keepStraights(n, x, y, corner, film, opening);
}

function half(width: f64, limit: f64, spare: f64, mostMm: f64): f64 {
  const least = min(LEAST_MM, width / 4);
  return min(mostMm, max(least, (width - spare - limit) / 2));
}

/** How far one coordinate may move the way that it goes before it leaves the frame, in mm. */
function inFrame(place: f64, way: f64, least: f64, most: f64): f64 {
  if (way === 0) return Infinity;
  return way > 0 ? (most - place) / way : (least - place) / way;
}

/** Steps of a pixel along a ray until it meets a pixel of value `stop`; Infinity when there is none in `most` steps. */
export function stepsUntil(
  data: StaticArray<u8>,
  width: i32,
  height: i32,
  stop: i32,
  x: f64,
  y: f64,
  dx: f64,
  dy: f64,
  first: i32,
  most: f64,
): f64 {
  for (let k = first; <f64>k <= most; k++) {
    const px = <i32>floor(x + <f64>k * dx);
    const py = <i32>floor(y + <f64>k * dy);
    const outside = px < 0 || py < 0 || px >= width || py >= height;
    if ((outside ? 0 : <i32>data[py * width + px]) === stop) return k;
  }
  return Infinity;
}

function keepStraights(
  n: i32,
  x: StaticArray<f64>,
  y: StaticArray<f64>,
  corner: StaticArray<u8>,
  film: StaticArray<f64>,
  opening: StaticArray<f64>,
): void {
  for (let i = 0; i < n; i++) {
    if (!isStraightFrom(i, n, x, y, corner)) continue;
    for (let k = 0; k <= STRAIGHT_STATIONS; k++) {
      const j = (i + k) % n;
      film[j] = min(film[j], LEAST_MM);
      opening[j] = min(opening[j], LEAST_MM);
    }
  }
}

function isStraightFrom(
  i: i32,
  n: i32,
  x: StaticArray<f64>,
  y: StaticArray<f64>,
  corner: StaticArray<u8>,
): bool {
  const end = (i + STRAIGHT_STATIONS) % n;
  const dx = x[end] - x[i];
  const dy = y[end] - y[i];
  const most = STRAIGHT_MM * hypot(dx, dy);
  for (let k = 1; k < STRAIGHT_STATIONS; k++) {
    const j = (i + k) % n;
    if (corner[j] || abs(dx * (y[j] - y[i]) - dy * (x[j] - x[i])) > most) return false;
  }
  return true;
}
