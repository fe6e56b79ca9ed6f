import type { Sheet } from '../settings/card.js';
import type { Box } from './raster.js';

/** In px: keeps 1016.0000000001 from becoming 1017, as millimetres of inches are not exact in binary. */
const ROUNDING = 1e-6;

/** How many whole pixels the sheet takes: a last part of a pixel counts as one. */
export function sheetSize(
  { widthMm, heightMm }: Sheet,
  pixelsPerMm: number,
): { readonly width: number; readonly height: number } {
  return {
    width: Math.ceil(widthMm * pixelsPerMm - ROUNDING),
    height: Math.ceil(heightMm * pixelsPerMm - ROUNDING),
  };
}

/**
 * The pixels that lie wholly inside the margin.
 *
 * @param margin mm on each side; it must leave at least a pixel
 */
export function pixelsInsideMargin(
  { widthMm, heightMm }: Sheet,
  margin: number,
  pixelsPerMm: number,
): Box {
  const first = Math.ceil(margin * pixelsPerMm - ROUNDING);
  return {
    x: first,
    y: first,
    width: Math.floor((widthMm - margin) * pixelsPerMm + ROUNDING) - first,
    height: Math.floor((heightMm - margin) * pixelsPerMm + ROUNDING) - first,
  };
}

/** The largest box of the shape `width` : `height` in the middle of `room`, never thinner than a pixel. */
export function contained(width: number, height: number, room: Box): Box {
  const scale = Math.min(room.width / width, room.height / height);
  const fitted = {
    width: Math.max(1, Math.round(width * scale)),
    height: Math.max(1, Math.round(height * scale)),
  };
  return {
    x: room.x + Math.floor((room.width - fitted.width) / 2),
    y: room.y + Math.floor((room.height - fitted.height) / 2),
    ...fitted,
  };
}

/**
 * The middle of `part` that is seen when it covers `room`: as wide or as tall as `part`, and on the other side
 * as much as the shape of `room` asks for, rounded up to whole pixels that lie evenly about the middle.
 */
export function covering(part: Box, room: Pick<Box, 'width' | 'height'>): Box {
  const scale = Math.max(room.width / part.width, room.height / part.height);
  const width = evenlyAbout(part.width, room.width / scale);
  const height = evenlyAbout(part.height, room.height / scale);
  return {
    x: part.x + (part.width - width) / 2,
    y: part.y + (part.height - height) / 2,
    width,
    height,
  };
}

function evenlyAbout(whole: number, seen: number): number {
  const pixels = Math.ceil(seen - ROUNDING);
  return Math.min(whole, pixels + ((whole - pixels) % 2));
}

/**
 * Places in percent of a whole picture, in px of a grid over the part of it that is shown.
 *
 * @param shows that part, in shares of the whole
 */
export function onShown(
  places: readonly (readonly [number, number])[],
  shows: Box,
  { width, height }: Pick<Box, 'width' | 'height'>,
): [x: number, y: number][] {
  return places.map(([x, y]) => [
    ((x / 100 - shows.x) / shows.width) * width,
    ((y / 100 - shows.y) / shows.height) * height,
  ]);
}

/**
 * A part of what is shown as the setting of a crop has it: left, top, width and height in percent of the whole picture,
 * rounded down so that none leaves it.
 *
 * @param part in shares of what is shown
 * @param shows that, in shares of the whole
 */
export function cropText(part: Box, shows: Box): string {
  const percents = [
    shows.x + part.x * shows.width,
    shows.y + part.y * shows.height,
    part.width * shows.width,
    part.height * shows.height,
  ];
  return percents.map((value) => String(Math.floor(1000 * value) / 10)).join(',');
}
