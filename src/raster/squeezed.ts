import type { Bitmap } from './raster.js';

/** Every so many pixels of a line are looked at, for speed: its width changes slowly. */
const LOOK_EVERY = 3;
/** Pixels of the line this near, in px, tell its direction: fewer tell the steps of the grid, more cut across bends. */
const DIRECTION_REACH = 6;
/**
 * A line is squeezed when so large a share of the places looked at is: the greater part, so that one tight place does
 * not cost a whole line.
 */
const SQUEEZED_SHARE = 0.5;

/**
 * Whether the regions on both sides of a line are too thin to make room for widening it.
 *
 * Square to the line, a disk of what the neighbour must keep is laid beside the widened line. Where it touches a
 * pixel of the line's own value, the neighbour is squeezed.
 *
 * @param pixels the line's pixels, row by row from the top left of the raster
 * @param halfWidth half the width in px that the line would get
 * @param neighbourHalfWidth half the width in px that the regions beside it must keep
 */
export function isSqueezed(
  bitmap: Bitmap,
  pixels: Int32Array,
  halfWidth: number,
  neighbourHalfWidth: number,
): boolean {
  const value = bitmap.data[pixels[0]];
  const away = halfWidth + neighbourHalfWidth;
  let looks = 0;
  let squeezed = 0;
  for (let k = 0; k < pixels.length; k += LOOK_EVERY) {
    const x = pixels[k] % bitmap.width;
    const y = Math.floor(pixels[k] / bitmap.width);
    const [dx, dy] = directionAt(pixels, x, y, bitmap.width);
    const touches = (side: number): boolean =>
      discHolds(bitmap, x - side * dy * away, y + side * dx * away, neighbourHalfWidth - 1, value);
    looks++;
    if (touches(1) || touches(-1)) squeezed++;
  }
  return squeezed >= SQUEEZED_SHARE * looks;
}

/** The direction of a line near a place: the main axis of its pixels there, of length 1. */
function directionAt(
  pixels: Int32Array,
  x: number,
  y: number,
  width: number,
): readonly [number, number] {
  let [xx, xy, yy] = [0, 0, 0];
  for (const i of pixels) {
    const dx = (i % width) - x;
    const dy = Math.floor(i / width) - y;
    if (Math.max(Math.abs(dx), Math.abs(dy)) > DIRECTION_REACH) continue;
    xx += dx * dx;
    xy += dx * dy;
    yy += dy * dy;
  }
  const angle = 0.5 * Math.atan2(2 * xy, xx - yy);
  return [Math.cos(angle), Math.sin(angle)];
}

/** Whether a disk round a place holds a pixel of a value, or leaves the raster. */
function discHolds(
  { width, height, data }: Bitmap,
  x: number,
  y: number,
  radius: number,
  value: number,
): boolean {
  for (let row = Math.ceil(y - radius); row <= y + radius; row++) {
    const half = Math.sqrt(radius * radius - (row - y) * (row - y));
    if (row < 0 || row >= height) return true;
    for (let column = Math.ceil(x - half); column <= x + half; column++) {
      if (column < 0 || column >= width || data[row * width + column] === value) return true;
    }
  }
  return false;
}
