import { memoizeLast } from '../../common/memoize-last.js';
import {
  leftAndRight,
  wedgesAbout,
  type Isometry,
  type MirrorPattern,
} from '../../geometry/fold-pattern.js';
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
  const isLike = (about: (centre: Point) => Isometry): boolean =>
    isSame(coarse, about(coarseCentre), { withinPx: 1, unlike: UNLIKE_FIRST }) &&
    isSame(bitmap, about(centre), { withinPx: TREMBLE_MM * pixelsPerMm, unlike: UNLIKE }, content);
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

const mirrored = ({ x }: Point): Isometry => ({ a: -1, b: 0, c: 0, d: 1, e: 2 * x, f: 0 });

function turned({ x, y }: Point, n: number): Isometry {
  const [cos, sin] = [Math.cos((2 * Math.PI) / n), Math.sin((2 * Math.PI) / n)];
  return { a: cos, b: sin, c: -sin, d: cos, e: x - cos * x + sin * y, f: y - sin * x - cos * y };
}

/** What may be other than its image: nothing of a kind lies within so many px, of so much of the dark or the light. */
interface Allowed {
  readonly withinPx: number;
  readonly unlike: number;
}

/**
 * Whether a bitmap lies on its own image, dark on dark and light on light. What does not is counted as a share of the dark
 * or the light, whichever is less: a light line on dark counts as a dark one on light does.
 */
function isSame(
  bitmap: Bitmap,
  { a, b, c, d, e, f }: Isometry,
  { withinPx, unlike }: Allowed,
  part: Box = { x: 0, y: 0, width: bitmap.width, height: bitmap.height },
): boolean {
  const { width, height, data } = bitmap;
  const reach = Math.ceil(withinPx);
  const [right, bottom] = [part.x + part.width, part.y + part.height];
  let dark = 0;
  for (let y = part.y; y < bottom; y++) {
    for (let i = y * width + part.x; i < y * width + right; i++) dark += data[i];
  }
  let allowed = unlike * Math.min(dark, part.width * part.height - dark);
  for (let y = part.y; y < bottom; y++) {
    for (let x = part.x; x < right; x++) {
      const value = data[y * width + x];
      const u = Math.floor(a * (x + 0.5) + c * (y + 0.5) + e);
      const v = Math.floor(b * (x + 0.5) + d * (y + 0.5) + f);
      const isOn = u >= 0 && v >= 0 && u < width && v < height;
      if (isOn ? data[v * width + u] === value : value === 0) continue;
      if (isNear(bitmap, value, u, v, reach)) continue;
      allowed--;
      if (allowed < 0) return false;
    }
  }
  return true;
}

/** Whether a value lies within so many px of a place; beyond the sheet all is light. */
function isNear(
  { width, height, data }: Bitmap,
  value: number,
  x: number,
  y: number,
  reach: number,
): boolean {
  for (let v = y - reach; v <= y + reach; v++) {
    for (let u = x - reach; u <= x + reach; u++) {
      const isOn = u >= 0 && v >= 0 && u < width && v < height;
      if (isOn ? data[v * width + u] === value : value === 0) return true;
    }
  }
  return false;
}
