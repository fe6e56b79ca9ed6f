import { squaredDistance } from '../../raster/distance.js';
import { labelRegions, type Regions } from '../../raster/labels.js';
import { dilated } from '../../raster/morphology.js';
import { cropped } from '../../raster/crop.js';
import type { Bitmap, Box, Gray } from '../../raster/raster.js';
import { stampLine } from '../../raster/stamp-line.js';
import { keepWidths } from './keep-widths.js';
import type { Rules } from './rules.js';

/** The picture that a drawing was made of, on the same raster; `pictureBox` is where it shows. */
export interface Pictured {
  readonly gray: Gray;
  readonly pictureBox: Box;
}

/** A drawing whose light parts have what they need to stay, and how that was done. */
export interface WithLightParts {
  readonly bitmap: Bitmap;
  /** Light parts that were made as large as an island has to be. */
  readonly grown: number;
  /** Light parts that were joined to film beside them. */
  readonly joined: number;
}

/**
 * A light part matters when it is lighter than the dark round it by this share of what the drawing's film is lighter than its
 * openings. Of drawings, letters and windows those that are lost have 0.9 and more, of nine photographs and eight samples one has
 * 0.86, and the others, leaves, cloth and feathers, 0.53 at most.
 */
const MATTERS = 0.6;
/** The dark round a light part reaches so far, in strips. */
const ROUND = 1;
/** A light part is lost when less than this share of it is left, as a part of a drawing is (`drawing.ts`). */
const LOST = 0.3;
/**
 * What is smaller than this many squares as wide as a strip, or thinner than this share of a strip, is a speck: grain, a glint
 * or the gap in a hatching. By eye.
 */
const LEAST_SQUARES = 0.5;
const LEAST_WIDTH = 0.4;
/** What can't be an island is joined to film no further off than this, in strips: further, it would be a bar across the dark. */
const FURTHEST = 2.5;
/** Ways to near film that are tried, evenly round. */
const WAYS = 16;
/** Of those, the shortest. */
const TRIED = 4;
/** What keeps a light part may cost so many times its own area of what is drawn round it, beyond what the widths cost anyway. */
const MOST_HARM = 0.5;
/** What is made by so much larger than the limit is not taken by rounding. */
const SPARE = 1.1;
/** What has to grow to more times its area would say something else. A window of 1.4 mm grows to five times its own. By eye. */
const MOST_GROWN = 8;
/** So many pixels are looked at in all windows: 60 of the hot tip's. More lost light parts are a texture; the largest come first. */
const MOST_PX = 3e6;

/**
 * Keeps light parts that would be lost to the widths: an eye, the inside of a letter, a window. One with room in the dark
 * round it grows to the size of the smallest island; one without is joined to film beside it, as letters of a stencil are open to a side.
 * What either would do is tried in a small window, with the widths kept; where the drawing round it would lose more than
 * the light part is worth, that goes.
 *
 * Map makers call it exaggeration and displacement (McMaster & Shea, Generalization in digital cartography, 1992).
 *
 * @param kept what is left of the drawing when the widths are kept
 */
export function withLightParts(
  drawn: Bitmap,
  kept: Bitmap,
  picture: Pictured,
  rules: Rules,
): WithLightParts {
  const lost = lostParts(drawn, kept, picture, rules);
  let [bitmap, grown, joined] = [drawn, 0, 0];
  let left = MOST_PX;
  for (const part of lost) {
    const window = windowRound(bitmap, part, rules);
    left -= window.light.data.length;
    if (left < 0) break;
    const made = madeRoom(window, part.area);
    if (!made) continue;
    if (bitmap === drawn) bitmap = { ...drawn, data: drawn.data.slice() };
    lay(bitmap, made.part, made.box);
    if (made.how === 'grown') grown++;
    else joined++;
  }
  return { bitmap, grown, joined };
}

/** A light part with dark all round, and the box round it in the drawing. */
interface LightPart {
  readonly box: Box;
  /** 1 on its pixels in the box. */
  readonly shape: Bitmap;
  readonly area: number;
}

function lostParts(
  drawn: Bitmap,
  kept: Bitmap,
  picture: Pictured,
  { film, inside }: Rules,
): LightPart[] {
  const regions = labelRegions(drawn, 0, 4);
  const { starts, ends, numbers, areas, bounds } = regions;
  const left = new Int32Array(areas.length);
  for (let run = 0; run < starts.length; run++) {
    for (let i = starts[run]; i < ends[run]; i++) left[numbers[run]] += 1 - kept.data[i];
  }
  const least = LEAST_SQUARES * (2 * film.halfWidth) ** 2;
  const isWithin = ([x0, y0, x1, y1]: Int32Array): boolean =>
    x0 > inside.x && y0 > inside.y && x1 < inside.x + inside.width && y1 < inside.y + inside.height;
  const lost: LightPart[] = [];
  for (let number = 1; number < areas.length; number++) {
    const area = areas[number];
    if (area < least || left[number] >= LOST * area) continue;
    if (!isWithin(bounds.subarray(4 * number, 4 * number + 4))) continue;
    const part = partNumbered(number, regions, drawn.width);
    if (widthOf(part.shape) >= LEAST_WIDTH * 2 * film.halfWidth) lost.push(part);
  }
  if (lost.length === 0) return [];
  const lighter = lighterFilm(drawn, picture);
  const reach = 2 * ROUND * film.halfWidth;
  return (
    lost
      // Swapped, film is what is darker.
      .filter((part) => lighterThanRound(part, drawn, picture, reach) / lighter >= MATTERS)
      .sort((a, b) => b.area - a.area)
  );
}

/** By how many levels of 255 a drawing's film is lighter than its openings, in the picture. */
function lighterFilm({ width, data }: Bitmap, { gray, pictureBox }: Pictured): number {
  const [sums, counts] = [
    [0, 0],
    [0, 0],
  ];
  for (let y = pictureBox.y; y < pictureBox.y + pictureBox.height; y++) {
    for (let i = y * width + pictureBox.x; i < y * width + pictureBox.x + pictureBox.width; i++) {
      sums[data[i]] += gray.data[i];
      counts[data[i]]++;
    }
  }
  const [film, opening] = sums.map((sum, value) => sum / Math.max(1, counts[value]));
  return film - opening;
}

/** By how many levels a light part is lighter than the openings round it, in the picture. */
function lighterThanRound(
  { box, shape }: LightPart,
  drawn: Bitmap,
  { gray }: Pictured,
  reach: number,
): number {
  const by = Math.ceil(reach);
  const wide = padded(shape, by);
  const away = squaredDistance(wide, 1);
  let [inside, own, round, dark] = [0, 0, 0, 0];
  for (let i = 0; i < away.length; i++) {
    const x = box.x - by + (i % wide.width);
    const y = box.y - by + Math.floor(i / wide.width);
    if (x < 0 || y < 0 || x >= drawn.width || y >= drawn.height) continue;
    const at = y * drawn.width + x;
    if (wide.data[i] === 1) {
      inside += gray.data[at];
      own++;
    } else if (drawn.data[at] === 1 && away[i] <= reach * reach) {
      round += gray.data[at];
      dark++;
    }
  }
  return inside / own - round / Math.max(1, dark);
}

function partNumbered(
  number: number,
  { labels, areas, bounds }: Regions,
  width: number,
): LightPart {
  const [x, y, right, bottom] = bounds.subarray(4 * number, 4 * number + 4);
  const box = { x, y, width: right - x + 1, height: bottom - y + 1 };
  const data = new Uint8Array(box.width * box.height);
  for (let i = 0; i < data.length; i++) {
    const at = (y + Math.floor(i / box.width)) * width + x + (i % box.width);
    data[i] = labels[at] === number ? 1 : 0;
  }
  return { box, shape: { width: box.width, height: box.height, data }, area: areas[number] };
}

/** How wide a shape is where it is widest, in px. */
function widthOf(shape: Bitmap): number {
  const { width, height, data } = padded(shape, 1);
  const away = squaredDistance({ width, height, data }, 0);
  return 2 * Math.sqrt(away.reduce((most, value) => Math.max(most, value), 0)) - 1;
}

function padded({ width, height, data }: Bitmap, by: number): Bitmap {
  const wide = width + 2 * by;
  const larger = new Uint8Array(wide * (height + 2 * by));
  for (let row = 0; row < height; row++) {
    larger.set(data.subarray(row * width, (row + 1) * width), (row + by) * wide + by);
  }
  return { width: wide, height: height + 2 * by, data: larger };
}

/** A window on the drawing, and the light part in it. */
interface Window {
  readonly box: Box;
  readonly part: Bitmap;
  readonly light: Bitmap;
  /** The limits, in the window's own pixels. */
  readonly rules: Rules;
  /** 1 so near to the light part that it may change by it. */
  readonly near: Uint8Array;
}

/** A window as it could be, and 1 on what is light in it for the light part's sake. */
interface Trial {
  readonly part: Bitmap;
  readonly shape: Uint8Array;
}

interface MadeRoom {
  readonly how: 'grown' | 'joined';
  readonly box: Box;
  /** The window, as it is to be. */
  readonly part: Bitmap;
}

/** What keeps a light part at the least cost to what is round it; growing goes before joining. */
function madeRoom(window: Window, area: number): MadeRoom | undefined {
  const without = keepWidths(window.part, window.rules).bitmap;
  const tried = (how: MadeRoom['how'], trials: readonly Trial[]): MadeRoom | undefined => {
    let best: MadeRoom | undefined;
    let least = Infinity;
    for (const { part, shape } of trials) {
      const print = keepWidths(part, window.rules).bitmap;
      const harm = harmOf(print, shape, window) - harmOf(without, shape, window);
      if (harm >= least || harm > MOST_HARM * pixelsKept(print, window)) continue;
      least = harm;
      best = { how, box: window.box, part };
    }
    return best;
  };
  return tried('grown', grownIn(window, area)) ?? tried('joined', joinedIn(window));
}

function windowRound(drawn: Bitmap, { box: own, shape }: LightPart, rules: Rules): Window {
  const { film, opening, inside } = rules;
  const grows = Math.sqrt((SPARE * film.smallest) / Math.PI);
  const reach = Math.ceil(grows + 2 * opening.madeHalfWidth);
  const furthest = Math.max(reach, FURTHEST * 2 * film.halfWidth);
  const by = Math.ceil(furthest + 2 * film.madeHalfWidth);
  const x = Math.max(0, own.x - by);
  const y = Math.max(0, own.y - by);
  const box = {
    x,
    y,
    width: Math.min(drawn.width, own.x + own.width + by) - x,
    height: Math.min(drawn.height, own.y + own.height + by) - y,
  };
  const light = new Uint8Array(box.width * box.height);
  for (let row = 0; row < own.height; row++) {
    const at = (own.y - y + row) * box.width + own.x - x;
    light.set(shape.data.subarray(row * own.width, (row + 1) * own.width), at);
  }
  const lightPart = { width: box.width, height: box.height, data: light };
  return {
    box,
    part: cropped(drawn, box),
    light: lightPart,
    rules: { film, opening, inside: { ...inside, x: inside.x - x, y: inside.y - y } },
    near: dilated(lightPart, reach).data,
  };
}

/** How many pixels near the light part, but for what is made light for it, are not as they were drawn. */
function harmOf(print: Bitmap, shape: Uint8Array, { part, near }: Window): number {
  let changed = 0;
  for (let i = 0; i < near.length; i++) {
    if (near[i] === 1 && shape[i] === 0 && print.data[i] !== part.data[i]) changed++;
  }
  return changed;
}

/** How much of a light part a print keeps, in px. */
function pixelsKept(print: Bitmap, { light }: Window): number {
  let kept = 0;
  for (let i = 0; i < light.data.length; i++) kept += light.data[i] & (1 - print.data[i]);
  return kept;
}

/** The light part as large as an island has to be; nothing where that is too much for it. */
function grownIn({ part, light, rules: { film } }: Window, area: number): Trial[] {
  const from = squaredDistance(light, 1);
  const enough = Math.ceil(SPARE * film.smallest);
  if (enough > Math.min(from.length, MOST_GROWN * area)) return [];
  const least = from.toSorted()[enough - 1];
  const reach = Math.max(least, Math.max(0, film.madeHalfWidth - widthOf(light) / 2) ** 2);
  const shape = Uint8Array.from(from, (squared) => (squared <= reach ? 1 : 0));
  return [{ part: { ...part, data: part.data.map((value, i) => value & (1 - shape[i])) }, shape }];
}

/** The light part with a strip to film beside it, by each of the shortest ways. */
function joinedIn({ part, light, rules: { film } }: Window): Trial[] {
  const { width, height } = part;
  const { x, y } = middleOf(light);
  const ways = Array.from({ length: WAYS }, (_, k) => (2 * Math.PI * k) / WAYS)
    .flatMap((angle) => wayToFilm(part, light, x, y, angle) ?? [])
    .filter(({ across }) => across <= FURTHEST * 2 * film.halfWidth)
    .sort((a, b) => a.across - b.across)
    .slice(0, TRIED);
  return ways.map(({ to }) => {
    const strip = new Uint8Array(width * height);
    stampLine(strip, width, height, [x + 0.5, to.x + 0.5], [y + 0.5, to.y + 0.5], film.madeHalfWidth); // prettier-ignore
    const shape = strip.map((value, i) => value | light.data[i]);
    const data = part.data.map((value, i) => (strip[i] === 1 ? 0 : value));
    return { part: { ...part, data }, shape };
  });
}

/** From a light part's middle to the first other film: how much dark lies between, in px, and where that film is. */
function wayToFilm(
  { width, height, data }: Bitmap,
  light: Bitmap,
  x: number,
  y: number,
  angle: number,
):
  | { readonly across: number; readonly to: { readonly x: number; readonly y: number } }
  | undefined {
  const [dx, dy] = [Math.cos(angle), Math.sin(angle)];
  let across = 0;
  for (let step = 0; ; step++) {
    const [column, row] = [Math.round(x + step * dx), Math.round(y + step * dy)];
    if (column < 0 || row < 0 || column >= width || row >= height) return undefined;
    const i = row * width + column;
    if (light.data[i] === 1) across = 0;
    else if (data[i] === 0) return { across, to: { x: column, y: row } };
    else across++;
  }
}

/** The middle of what is 1: the pixel that lies deepest in it. */
function middleOf({ width, height, data }: Bitmap): { readonly x: number; readonly y: number } {
  const away = squaredDistance({ width, height, data }, 0);
  let deepest = 0;
  for (let i = 0; i < away.length; i++) if (away[i] > away[deepest]) deepest = i;
  return { x: deepest % width, y: Math.floor(deepest / width) };
}

/** Writes a part back into the drawing, which is changed. */
function lay(drawn: Bitmap, part: Bitmap, { x, y, width, height }: Box): void {
  for (let row = 0; row < height; row++) {
    drawn.data.set(part.data.subarray(row * width, (row + 1) * width), (y + row) * drawn.width + x);
  }
}
