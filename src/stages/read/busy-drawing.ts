import { Problem } from '../../settings/problem.js';
import type { Box } from '../../raster/raster.js';
import { sharpOn, type PixelSize } from './decoding.js';

/**
 * How many elements a drawing may have to be drawn as often as it is looked at. The renderer takes some 2 KB for each
 * and does not give all of it back, and twice that when it has to scale.
 */
const MOST_AT_EASE = 40_000;
/** Elements: so many take 0.6 GB. */
const MOST_ELEMENTS = 300_000;
/** The longer side, px, at which a busy drawing is drawn: what the renderer draws in one go. */
const DRAWN_PX = 2000;
/** The renderer's usual density, px an inch, and the least that it takes. */
const [DENSITY, LEAST_DENSITY] = [72, 1];

/** How many elements there are: what begins with "<" and is no end, no comment and no instruction. */
function elementsIn(svg: Uint8Array): number {
  const [OPEN, SLASH, BANG, QUESTION] = [0x3c, 0x2f, 0x21, 0x3f];
  let count = 0;
  for (let at = svg.indexOf(OPEN); at >= 0; at = svg.indexOf(OPEN, at + 1)) {
    const next = svg[at + 1];
    if (next !== SLASH && next !== BANG && next !== QUESTION) count++;
  }
  return count;
}

/**
 * Whether a drawing has so many shapes that it should be drawn once.
 *
 * @throws Problem when there are more than can be drawn
 */
export function isBusy(svg: Uint8Array, where: string): boolean {
  const count = elementsIn(svg);
  if (count <= MOST_ELEMENTS) return count > MOST_AT_EASE;
  throw new Problem(
    `The drawing has too many shapes: ${count.toLocaleString('en')}`,
    where,
    `Save it as a picture in PNG, or with fewer than ${MOST_ELEMENTS.toLocaleString('en')} shapes`,
  );
}

/** A drawing drawn whole. */
export interface DrawnWhole {
  readonly rgb: Uint8Array;
  readonly size: PixelSize;
}

/** What was drawn last, as long as its bytes are held: it is looked at again and again. */
let kept = new WeakMap<Uint8Array, Promise<DrawnWhole>>();

/**
 * Draws a busy drawing, once for the same bytes, 2000 px on its longer side or little less.
 *
 * @param root the drawing without what is in it, which has the same size
 */
export function drawnWhole(svg: Uint8Array, root: Uint8Array): Promise<DrawnWhole> {
  const known = kept.get(svg);
  if (known) return known;
  const drawing = drawAt(svg, root);
  const last = new WeakMap([[svg, drawing]]);
  // What failed is told to who waits for it, and tried anew the next time.
  drawing.catch(() => last.delete(svg));
  kept = last;
  return drawing;
}

async function drawAt(svg: Uint8Array, root: Uint8Array): Promise<DrawnWhole> {
  // At the density that gives the size the drawing is read once; to be scaled it would be read twice.
  const density = await densityFor(root);
  const { data, info } = await sharpOn(svg, { density })
    .flatten({ background: '#ffffff' })
    .toColourspace('srgb')
    .raw()
    .toBuffer({ resolveWithObject: true });
  return { rgb: data, size: { width: info.width, height: info.height } };
}

/**
 * Halvings of the ratio between two densities: twelve bring even a ratio of a thousand to within 0.2 %, 3 px of 2000,
 * and each costs a look at the head only.
 */
const HALVINGS = 12;

/**
 * The density at which the longer side has the wanted px, or little less: sizes in px grow as it does, those in units of
 * length by more, so it lies between the usual one and the one that would do for px.
 */
async function densityFor(root: Uint8Array): Promise<number> {
  const longerAt = async (density: number): Promise<number> => {
    const { width, height } = await sharpOn(root, { density }).metadata();
    return Math.max(width, height);
  };
  const forPx = Math.max(LEAST_DENSITY, (DENSITY * DRAWN_PX) / (await longerAt(DENSITY)));
  if ((await longerAt(forPx)) <= DRAWN_PX) return forPx;
  let [low, high] = [Math.min(DENSITY, forPx), Math.max(DENSITY, forPx)];
  for (let i = 0; i < HALVINGS; i++) {
    const middle = Math.sqrt(low * high);
    if ((await longerAt(middle)) <= DRAWN_PX) low = middle;
    else high = middle;
  }
  return low;
}

/** A part of the whole, in px of the one, in px of the other. */
export function scaledPart({ x, y, width, height }: Box, from: PixelSize, to: PixelSize): Box {
  const across = to.width / from.width;
  const down = to.height / from.height;
  return { x: x * across, y: y * down, width: width * across, height: height * down };
}
