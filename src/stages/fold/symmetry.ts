import { memoizeLast } from '../../common/memoize-last.js';
import {
  turnsAbout,
  wedgesAbout,
  type Isometry,
  type SymmetryPattern,
} from '../../geometry/fold-pattern.js';
import type { Point } from '../../geometry/shape.js';
import { squaredDistance } from '../../raster/distance.js';
import type { Sheet } from '../../settings/card.js';
import { countOpening } from '../../raster/count.js';
import { innerBorder } from '../../raster/morphology.js';
import { cropped } from '../../raster/crop.js';
import { decimated } from '../../raster/decimation.js';
import type { Bitmap, Box, Gray } from '../../raster/raster.js';
import { greySymmetry } from './grey-symmetry.js';
import { symmetryVotes } from './symmetry-votes.js';

/** A drawing of more parts about its middle is looked at as one of fewer: their tips are too slender to cut apart. */
const MOST_TURNS = 16;
/**
 * What comes to lie on itself by one turn more is round: it asks for no number of parts, and each part would be a bridge. Two
 * hold a ring. Common practice, no source.
 */
const MORE_TURNS = MOST_TURNS + 1;
const ROUND_TURNS = 2;
/** Lines that lie so far off their image, in mm, were meant to lie on it: a scan, a grid. By eye. */
const TREMBLE_MM = 0.15;
/** What lies further off is at most so much of what is dark; else somebody drew the sides unlike. By eye. */
const UNLIKE = 0.004;
const EXACTLY: Alike = { withinMm: TREMBLE_MM, unlike: UNLIKE };
/** Of a picture whose grey is symmetric its dark and light may be so unlike: shallow shades are parted anywhere. By eye. */
const ROUGHLY: Alike = { withinMm: 0.5, unlike: 0.1 };
/** The first look is on a grid of so many px a mm. */
const FIRST_PX_PER_MM = 2;
/** To a pixel of it so much may differ: fine lines are broken there. */
const FITTED: Allowed = { withinPx: 1, unlike: 0.2 };
/** The same of what is not yet laid on its image as well as it will go: by up to 0.3 mm and half a degree. */
const UNFITTED: Allowed = { withinPx: 2, unlike: 0.15 };
/** So many of the axes that most of what is dark agrees with are tested: more take time, and are less likely. */
const MOST_AXES = 6;
/** An axis nearer than this to straight up, or to one of the sheet's other main directions, is meant to be one, in degrees. */
const SNAP_DEGREES = 0.5;

/** How far from its image what is dark may lie, in mm, and the share of it that may lie further off. */
interface Alike {
  readonly withinMm: number;
  readonly unlike: number;
}

/** The symmetry of a drawing in dark and light. */
interface DrawnSymmetry {
  readonly pattern: SymmetryPattern;
  /** Whether it is the grey's: dark and light alone are less alike. */
  readonly isByGrey: boolean;
}

/**
 * The symmetry that a drawing in dark and light has: turns about one place, the most that there are, with mirrors through
 * it or without. Undefined where it has none.
 *
 * Every mirror and every turn leaves the centroid of what is dark where it is. About that place axes and turns are voted
 * for by all that is dark (`symmetryVotes`); each candidate is then laid on its image as well as it will go, and tested:
 * dark on dark and light on light. Loy & Eklundh, "Detecting symmetry and symmetric constellations of features" (ECCV
 * 2006), vote with matched features; in dark and light a whole drawing can be laid over itself.
 *
 * Of a photograph that is symmetric the tones are less so: where its grey lies on its image, they need only roughly.
 *
 * @param content the box of what is dark, in px
 * @param gray what it is the dark and light of; without it that alone counts
 */
export function symmetryOf(
  bitmap: Bitmap,
  content: Box,
  sheet: Sheet,
  pixelsPerMm: number,
  gray?: Gray,
): DrawnSymmetry | undefined {
  const middle = centroidOf(bitmap);
  if (!middle) return undefined;
  const votes = symmetryVotes(bitmap, middle, pixelsPerMm);
  const isSameCoarsely = coarseTest(bitmap, pixelsPerMm);
  const mayBe = (to: Isometry): boolean => isSameCoarsely(to, UNFITTED);
  const axes = votes.axes
    .slice(0, MOST_AXES)
    .filter((degrees) => mayBe(mirrorIn({ at: middle, degrees })));
  const turns = fewerFrom(MOST_TURNS).filter((n) => votes.turns(n) && mayBe(turnBy(middle, n)));
  if (axes.length + turns.length === 0) return undefined;
  const isSame = imageTest(bitmap, content);
  const isWithin = (to: Isometry, { withinMm, unlike }: Alike): boolean =>
    isSameCoarsely(to, FITTED) && isSame(to, { withinPx: withinMm * pixelsPerMm, unlike });
  const isGreyLike = gray && greySymmetry(gray, content, pixelsPerMm);
  let isByGrey = false;
  const isLike = (to: Isometry): boolean => {
    if (isWithin(to, EXACTLY)) return true;
    const isLikeToo = isGreyLike !== undefined && isWithin(to, ROUGHLY) && isGreyLike(to);
    if (isLikeToo) isByGrey = true;
    return isLikeToo;
  };
  const fit = fitOn(bitmap, pixelsPerMm);
  const rotation = firstOf(turns, (n) => {
    const centre = firstOf(placesFor(fit, middle, n), (at) => isLike(turnBy(at, n)) ? at : undefined); // prettier-ignore
    return centre && { n, centre };
  });
  const { n: most, centre } = rotation ?? { n: 1, centre: middle };
  const n = most === MOST_TURNS && isLike(turnBy(centre, MORE_TURNS)) ? ROUND_TURNS : most;
  const axis = firstOf(
    axes,
    (degrees) =>
    firstOf(axesFor(fit, { at: centre, degrees }, n), (each) => isLike(mirrorIn(each)) ? each : undefined), // prettier-ignore
  );
  if (!axis && !rotation) return undefined;
  const place = axis?.at ?? centre;
  const [x, y] = [place.x / pixelsPerMm, place.y / pixelsPerMm];
  const begins = axis ? 0 : beginning(bitmap, centre, n);
  return { pattern: patternOf(sheet, x, y, n, axis?.degrees, begins), isByGrey };
}

/** One pattern for as long as the drawing has that symmetry: what follows from it is then kept, too. */
const patternOf = memoizeLast(
  (sheet: Sheet, x: number, y: number, n: number, axis: number | undefined, begins: number) =>
    axis === undefined
      ? turnsAbout({ x, y }, n, sheet, begins)
      : wedgesAbout({ x, y }, n, sheet, axis),
);

/** So many directions are looked along, all round a part, for the one where it is cut from the one beside it. */
const DIRECTIONS = 36;
/** Where a part that is turned by 360° / n is cut from the one beside it: through as few outlines as may be, in degrees. */
function beginning({ width, height, data }: Bitmap, { x, y }: Point, n: number): number {
  const far = Math.hypot(width, height);
  const valueAt = (degrees: number, away: number): number => {
    const [u, v] = [
      Math.floor(x + away * Math.sin((degrees * Math.PI) / 180)),
      Math.floor(y - away * Math.cos((degrees * Math.PI) / 180)),
    ];
    return u >= 0 && v >= 0 && u < width && v < height ? data[v * width + u] : 0;
  };
  const costs = Array.from({ length: DIRECTIONS }, (_, k) => {
    const degrees = (k * 360) / n / DIRECTIONS;
    let [cost, before] = [0, valueAt(degrees, 0)];
    for (let away = 1; away < far; away++) {
      const here = valueAt(degrees, away);
      cost += here ^ before;
      before = here;
    }
    return cost;
  });
  return (costs.indexOf(Math.min(...costs)) * 360) / n / DIRECTIONS;
}

const fewerFrom = (most: number): number[] => Array.from({ length: most - 1 }, (_, k) => most - k);

/** What is first made of one of them. */
function firstOf<T, V>(all: Iterable<T>, make: (each: T) => V | undefined): V | undefined {
  for (const each of all) {
    const made = make(each);
    if (made !== undefined) return made;
  }
  return undefined;
}

/** The mean place of what is dark, in px. */
function centroidOf({ width, height, data }: Bitmap): Point | undefined {
  let [sumX, sumY, count] = [0, 0, 0];
  for (let y = 0, i = 0; y < height; y++) {
    let inRow = 0;
    for (let x = 0; x < width; x++, i++) {
      inRow += data[i];
      sumX += data[i] * x;
    }
    sumY += inRow * y;
    count += inRow;
  }
  return count > 0 ? { x: sumX / count + 0.5, y: sumY / count + 0.5 } : undefined;
}

/** A line through a place, by its direction in degrees clockwise from straight up. */
interface Axis {
  readonly at: Point;
  readonly degrees: number;
}

/** Isometries of a raster need no sheet. */
const NO_SHEET: Sheet = { widthMm: 0, heightMm: 0 };
const turnBy = (at: Point, n: number): Isometry => turnsAbout(at, n, NO_SHEET).copies[1];
const mirrorIn = ({ at, degrees }: Axis): Isometry => wedgesAbout(at, 1, NO_SHEET, degrees).copies[1]; // prettier-ignore

/** Where half pixels are, a place and its image by a quarter of a turn lie on one grid. */
const onGrid = ({ x, y }: Point): Point => ({ x: Math.round(2 * x) / 2, y: Math.round(2 * y) / 2 });

/** Places to turn all about by 360° / n: the best one, and first, if it does as well, the one on the grid. */
function* placesFor(fit: Fit, middle: Point, n: number): Generator<Point> {
  const [x, y] = fit([middle.x, middle.y], [PLACE_PX, PLACE_PX], ([u, v]) => turnBy({ x: u, y: v }, n)); // prettier-ignore
  yield onGrid({ x, y });
  yield { x, y };
}

/**
 * Axes at about a direction, through a place if all turns about it: the best one, and first, if they do as well, the one of
 * the sheet's main directions that is meant, on the grid.
 */
function* axesFor(fit: Fit, { at, degrees }: Axis, n: number): Generator<Axis> {
  const [turn, off] = fit([degrees, 0], [TURN_DEGREES, n > 1 ? 0 : PLACE_PX], ([d, o]) =>
    mirrorIn({ at: beside(at, d, o), degrees: d }),
  );
  const upright = nearestUpright(turn, n);
  const place = beside(at, turn, off);
  const main = Math.round(upright / MAIN_DEGREES) * MAIN_DEGREES;
  if (Math.abs(upright - main) < SNAP_DEGREES)
    yield { at: n > 1 ? at : onGrid(place), degrees: main };
  yield { at: place, degrees: upright };
}

/** The sheet's upright, its level and its diagonals. */
const MAIN_DEGREES = 45;

/** A place moved square to a direction. */
function beside({ x, y }: Point, degrees: number, off: number): Point {
  const angle = (degrees * Math.PI) / 180;
  return { x: x + off * Math.cos(angle), y: y + off * Math.sin(angle) };
}

/** Of the axes that turns by 360° / n make of one, the most upright one, from -90 to 90 degrees. */
export function nearestUpright(degrees: number, n: number): number {
  const step = 180 / n;
  return degrees - Math.round(degrees / step) * step;
}

/** The first steps in which parameters are searched, in px and degrees, and the share of these at which the search ends. */
const PLACE_PX = 2;
const TURN_DEGREES = 0.5;
const FINEST = 1 / 64;
/** Borders further from all borders than this, in mm, count as if they were so far. */
const FAR_MM = 1;
/** So many places on borders are enough to lay a drawing on its image. */
const MOST_PLACES = 3000;

/** The parameters, near those given, by which a drawing lies best on its image. */
type Fit = (
  from: readonly [number, number],
  steps: readonly [number, number],
  by: (parameters: readonly [number, number]) => Isometry,
) => readonly [number, number];

/**
 * Lays the borders of what is dark on their image: the mean square of their distances, each as far as it counts, falls at
 * every step of a pattern search (Hooke & Jeeves, "Direct search", Journal of the ACM 8, 1961).
 */
function fitOn(bitmap: Bitmap, pixelsPerMm: number): Fit {
  const border = innerBorder(bitmap);
  const far = FAR_MM * pixelsPerMm;
  const { width, height } = border;
  const squared = squaredDistance(border, 1, far);
  const [xs, ys] = someOf(border);
  // What is apart by more than the best so far need not be known.
  const apart = ({ a, b, c, d, e, f }: Isometry, most: number): number => {
    let sum = 0;
    for (let k = 0; k < xs.length && sum < most; k++) {
      const u = Math.floor(a * xs[k] + c * ys[k] + e);
      const v = Math.floor(b * xs[k] + d * ys[k] + f);
      const isOn = u >= 0 && v >= 0 && u < width && v < height;
      sum += isOn ? Math.min(squared[v * width + u], far * far) : far * far;
    }
    return sum;
  };
  return (from, steps, by) => {
    let best = from;
    let least = apart(by(best), Infinity);
    for (let share = 1; share >= FINEST; share /= 2) {
      let isBetter = true;
      for (let round = 0; isBetter && round < MOST_ROUNDS; round++) {
        isBetter = false;
        for (const [du, dv] of WAYS) {
          const next = [best[0] + share * du * steps[0], best[1] + share * dv * steps[1]] as const;
          const there = apart(by(next), least);
          if (there >= least) continue;
          [best, least, isBetter] = [next, there, true];
        }
      }
    }
    return best;
  };
}

/** The middles of dark pixels, as many as are enough: their x and their y, in px. */
function someOf({ width, data }: Bitmap): readonly [xs: Float64Array, ys: Float64Array] {
  const places: number[] = [];
  for (let i = 0; i < data.length; i++) if (data[i] === 1) places.push(i);
  const every = Math.max(1, Math.ceil(places.length / MOST_PLACES));
  const some = places.filter((_, k) => k % every === 0);
  return [
    Float64Array.from(some, (i) => (i % width) + 0.5),
    Float64Array.from(some, (i) => Math.floor(i / width) + 0.5),
  ];
}

/** A step forward or back of either parameter. */
const WAYS = [
  [1, 0],
  [-1, 0],
  [0, 1],
  [0, -1],
] as const;
/** In steps of one length so many rounds at most: what is further off is no symmetry. */
const MOST_ROUNDS = 6;

/** What may be other than its image: nothing of a kind lies within so many px, of so much of the dark or the light. */
interface Allowed {
  readonly withinPx: number;
  readonly unlike: number;
}

/** Whether a drawing lies on its image, with so much allowed. */
type ImageTest = (to: Isometry, allowed: Allowed) => boolean;

/** The same by a coarse look. */
function coarseTest(bitmap: Bitmap, pixelsPerMm: number): ImageTest {
  const factor = Math.max(1, Math.round(pixelsPerMm / FIRST_PX_PER_MM));
  const isSame = imageTest(decimated(bitmap, factor));
  return (to, allowed) => isSame({ ...to, e: to.e / factor, f: to.f / factor }, allowed);
}

/**
 * Whether a bitmap lies on its own image, dark on dark and light on light. What does not is counted as a share of the dark
 * or the light, whichever is less: a light line on dark counts as a dark one on light does.
 */
function imageTest(
  bitmap: Bitmap,
  part: Box = { x: 0, y: 0, width: bitmap.width, height: bitmap.height },
): ImageTest {
  const { width, height, data } = bitmap;
  const dark = countOpening(cropped(bitmap, part));
  const fewer = Math.min(dark, part.width * part.height - dark);
  const [right, bottom] = [part.x + part.width, part.y + part.height];
  return ({ a, b, c, d, e, f }, { withinPx, unlike }) => {
    const reach = Math.ceil(withinPx);
    let allowed = unlike * fewer;
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
  };
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
