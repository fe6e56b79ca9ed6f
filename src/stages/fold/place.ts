import type { Bitmap, Box } from '../../raster/raster.js';

/** Where a picture lies in the packet: the middle of what is drawn, in mm on the sheet. */
export interface PicturePlace {
  readonly x: number;
  readonly y: number;
  /** 1 is the size that it was read at. */
  readonly scale: number;
  /** Clockwise. */
  readonly degrees: number;
}

/** A picture in dark and light, and the box of its dark parts. */
export interface DrawnContent {
  readonly bitmap: Bitmap;
  /** In px, on the grid of the bitmap. */
  readonly content: Box;
  readonly pixelsPerMm: number;
}

/** The box of what is dark; all of the given box where nothing is. */
export function contentBox({ width, data }: Bitmap, pictureBox: Box): Box {
  let [left, top, right, bottom] = [Infinity, Infinity, -1, -1];
  for (let y = pictureBox.y; y < pictureBox.y + pictureBox.height; y++) {
    for (let x = pictureBox.x; x < pictureBox.x + pictureBox.width; x++) {
      if (data[y * width + x] === 0) continue;
      left = Math.min(left, x);
      right = Math.max(right, x);
      top = Math.min(top, y);
      bottom = y;
    }
  }
  return right < 0
    ? pictureBox
    : { x: left, y: top, width: right + 1 - left, height: bottom + 1 - top };
}

/**
 * A picture at its place, where the room allows: sampled bilinearly, and dark where that gives more than half.
 *
 * @param room 1 where the picture may be; its grid may be another than the picture's
 * @param pixelsPerMm of the room's grid
 */
export function laidInto(
  { bitmap, content, pixelsPerMm: from }: DrawnContent,
  { x, y, scale, degrees }: PicturePlace,
  room: Bitmap,
  pixelsPerMm = from,
): Bitmap {
  const { width, height } = room;
  const data = new Uint8Array(width * height);
  const [cos, sin] = [Math.cos((degrees * Math.PI) / 180), Math.sin((degrees * Math.PI) / 180)];
  const middle = { x: content.x + content.width / 2, y: content.y + content.height / 2 };
  for (let row = 0, i = 0; row < height; row++) {
    for (let column = 0; column < width; column++, i++) {
      if (room.data[i] === 0) continue;
      const [dx, dy] = [(column + 0.5) / pixelsPerMm - x, (row + 0.5) / pixelsPerMm - y];
      const u = middle.x + ((cos * dx + sin * dy) / scale) * from;
      const v = middle.y + ((-sin * dx + cos * dy) / scale) * from;
      if (bilinear(bitmap, u - 0.5, v - 0.5) > 0.5) data[i] = 1;
    }
  }
  return { width, height, data };
}

/** Where a place of the picture, in px, comes to lie, in mm on the sheet. */
export function placeInPacket(
  { content, pixelsPerMm }: Omit<DrawnContent, 'bitmap'>,
  { x, y, scale, degrees }: PicturePlace,
  [u, v]: readonly [number, number],
): readonly [number, number] {
  const [cos, sin] = [Math.cos((degrees * Math.PI) / 180), Math.sin((degrees * Math.PI) / 180)];
  const across = ((u - content.x - content.width / 2) / pixelsPerMm) * scale;
  const down = ((v - content.y - content.height / 2) / pixelsPerMm) * scale;
  return [x + cos * across - sin * down, y + sin * across + cos * down];
}

/** A print of the opened sheet as it is where the picture lies, on the picture's own pixels: `laidInto` the other way. */
export function warpedBack(
  print: Bitmap,
  drawn: Omit<DrawnContent, 'bitmap'>,
  place: PicturePlace,
  pictureBox: Box,
): Bitmap {
  const { width, height } = print;
  const data = new Uint8Array(width * height);
  for (let v = pictureBox.y; v < pictureBox.y + pictureBox.height; v++) {
    for (let u = pictureBox.x; u < pictureBox.x + pictureBox.width; u++) {
      const [x, y] = placeInPacket(drawn, place, [u + 0.5, v + 0.5]);
      const [column, row] = [Math.floor(x * drawn.pixelsPerMm), Math.floor(y * drawn.pixelsPerMm)];
      if (column < 0 || row < 0 || column >= width || row >= height) continue;
      data[v * width + u] = print.data[row * width + column];
    }
  }
  return { width, height, data };
}

/** Between four pixels, 0 to 1; light beyond the picture. */
function bilinear({ width, height, data }: Bitmap, x: number, y: number): number {
  const [left, top] = [Math.floor(x), Math.floor(y)];
  if (left < -1 || top < -1 || left >= width || top >= height) return 0;
  const [u, v] = [x - left, y - top];
  const [isLeft, isRight] = [left >= 0, left + 1 < width];
  const i = top * width + left;
  let sum = 0;
  if (top >= 0 && isLeft) sum += (1 - v) * (1 - u) * data[i];
  if (top >= 0 && isRight) sum += (1 - v) * u * data[i + 1];
  if (top + 1 < height && isLeft) sum += v * (1 - u) * data[i + width];
  if (top + 1 < height && isRight) sum += v * u * data[i + width + 1];
  return sum;
}
