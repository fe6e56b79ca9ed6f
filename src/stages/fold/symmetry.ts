import { memoizeLast } from '../../common/memoize-last.js';
import { leftAndRight, wedgesAbout, type MirrorPattern } from '../../geometry/fold-pattern.js';
import type { Point } from '../../geometry/shape.js';
import type { Sheet } from '../../settings/card.js';
import { decimated } from '../../raster/sampled.js';
import type { Bitmap, Box } from '../../raster/raster.js';

/** A drawing of more parts about its middle is looked at as one of fewer: their tips are too slender to cut apart. */
const MOST_TURNS = 16;
/** Lines that lie so far off their image, in mm, were meant to lie on it: a scan, a grid. By eye. */
const TREMBLE_MM = 0.15;
/** What lies further off is at most so much of what is dark; else somebody drew the sides unlike. By eye. */
const UNLIKE = 0.004;
/** In the first look, on a grid of so many px a mm and to a pixel of it, so much may differ: fine lines are broken there. */
const UNLIKE_FIRST = 0.2;
const FIRST_PX_PER_MM = 2;

/**
 * The mirrors that a drawing in dark and light has: an upright one, or several through one place and the turns between
 * them, the most that there are. They go through the middle of what is drawn. Undefined where it is not symmetric.
 *
 * Each candidate is tested on its two generators, the upright mirror and the least turn: Loy & Eklundh, "Detecting
 * symmetry and symmetric constellations of features" (ECCV 2006), vote for axes with features; in dark and light a whole
 * drawing can be laid over itself.
 *
 * @param content the box of what is dark, in px
 */
export function symmetryOf(
  bitmap: Bitmap,
  content: Box,
  sheet: Sheet,
  pixelsPerMm: number,
): MirrorPattern | undefined {
  const centre = { x: content.x + content.width / 2, y: content.y + content.height / 2 };
  const factor = Math.max(1, Math.round(pixelsPerMm / FIRST_PX_PER_MM));
  const coarse = decimated(bitmap, factor);
  const coarseCentre = { x: centre.x / factor, y: centre.y / factor };
  const isLike = (map: (centre: Point) => Placing): boolean =>
    unlike(coarse, map(coarseCentre), 1) <= UNLIKE_FIRST &&
    unlike(bitmap, map(centre), TREMBLE_MM * pixelsPerMm, content) <= UNLIKE;
  if (!isLike(mirrored)) return undefined;
  const turns = fewerFrom(MOST_TURNS).find((n) => isLike((at) => turned(at, n)));
  const [x, y] = [centre.x / pixelsPerMm, centre.y / pixelsPerMm];
  return patternOf(sheet, x, y, turns ?? 1);
}

/** One pattern for as long as the drawing has that symmetry: what follows from it is then kept, too. */
const patternOf = memoizeLast((sheet: Sheet, x: number, y: number, turns: number) =>
  turns === 1 ? leftAndRight(sheet, x) : wedgesAbout({ x, y }, turns, sheet),
);

const fewerFrom = (most: number): number[] => Array.from({ length: most - 1 }, (_, k) => most - k);

/** A place's image, in px. */
type Placing = (x: number, y: number) => readonly [number, number];

const mirrored =
  (centre: Point): Placing =>
  (x, y) => [2 * centre.x - x, y];

function turned(centre: Point, n: number): Placing {
  const [cos, sin] = [Math.cos((2 * Math.PI) / n), Math.sin((2 * Math.PI) / n)];
  return (x, y) => {
    const [dx, dy] = [x - centre.x, y - centre.y];
    return [centre.x + cos * dx - sin * dy, centre.y + sin * dx + cos * dy];
  };
}

/**
 * What has none of its own kind within so many px of its image, dark or light, as a share of the dark or the light,
 * whichever is less: a light line on dark counts as a dark one on light does.
 */
function unlike(
  bitmap: Bitmap,
  image: Placing,
  withinPx: number,
  part: Box = whole(bitmap),
): number {
  const { width, data } = bitmap;
  const reach = Math.ceil(withinPx);
  let [dark, off] = [0, 0];
  for (let y = part.y; y < part.y + part.height; y++) {
    for (let x = part.x; x < part.x + part.width; x++) {
      const value = data[y * width + x];
      dark += value;
      const [u, v] = image(x + 0.5, y + 0.5);
      if (!isNear(bitmap, value, Math.floor(u), Math.floor(v), reach)) off++;
    }
  }
  const light = part.width * part.height - dark;
  return off / Math.max(1, Math.min(dark, light));
}

const whole = ({ width, height }: Bitmap): Box => ({ x: 0, y: 0, width, height });

/** Whether a value lies within so many px of a place; beyond the sheet all is light. */
function isNear(bitmap: Bitmap, value: number, x: number, y: number, reach: number): boolean {
  const { width, height, data } = bitmap;
  const at = (u: number, v: number): number =>
    u >= 0 && v >= 0 && u < width && v < height ? data[v * width + u] : 0;
  if (at(x, y) === value) return true;
  for (let v = y - reach; v <= y + reach; v++) {
    for (let u = x - reach; u <= x + reach; u++) if (at(u, v) === value) return true;
  }
  return false;
}
