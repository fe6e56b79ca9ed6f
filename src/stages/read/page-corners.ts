import { gaussianBlur } from '../../raster/blur.js';
import type { Field } from '../../raster/field.js';
import type { Gray } from '../../raster/raster.js';
import { straightEdges, type StraightEdge } from '../../raster/straight-edges.js';
import { signedArea } from '../../geometry/signed-area.js';
import type { PageCorners } from '../../settings/rectification.js';
import type { PixelSize } from './decoding.js';

/** A page on a table is at least so large a part of its picture. */
const LEAST_SHARE = 0.12;
/** A thumb, a curl or a shadow may hide some of one side; of all of them so much can be seen at least. By eye. */
const LEAST_OF_SIDE = 0.6;
const LEAST_OF_ALL = 0.85;
/** Px (σ): the weave of a cloth and the grain of wood are no edge of a page. */
const CALM = 1.2;
/** Greys that are added before a logarithm is taken: the noise of what is nearly black says nothing. */
const NEAR_BLACK = 10;
/** Across an edge it becomes lighter by this much at least, as a natural logarithm: a twelfth. By eye. */
const LEAST_STEP = 0.08;
/** Where lightness is compared beside an edge, in px inside of it and outside. */
const INSIDE: readonly number[] = [3, 4, 5, 6];
const NEAR: readonly number[] = [-3, -4, -5, -6];
/** And farther away, beyond a line of the pen: a drawn frame has paper there. */
const FAR: readonly number[] = [-9, -10, -11, -12];
/**
 * Along an edge paper is as light as its neighbourhood, but for what is drawn on it: so far off it, as a natural logarithm,
 * is half of it at the most. The squares of a checked cloth are farther off. By eye.
 */
const MOST_UNEVEN = 0.06;
/** Px by which a side may bend away from a straight line. */
const BENT = 2;
/** Straight edges that are looked at: the four of the page are among them, or it is no plain page. */
const MOST_EDGES = 48;
/** Two sides meet at no sharper angle than this, in degrees, and at no blunter one than 180° less this. */
const LEAST_TURN = 45;
/** Places on each side at which it is looked at. */
const PLACES = 32;
/** Percent of the picture that a corner may lie outside of it. */
const OUTSIDE = 1;

/**
 * The four corners of a light page that lies on something darker, in percent of the picture, from the top left clockwise;
 * undefined where there is none.
 *
 * The page is the one of four straight edges, each lighter on the page's side, that can be seen along most of its
 * outline. Lightness is compared by its logarithm and only beside an edge: under a lamp the far corner of a page is darker
 * than the table near the lamp, and still lighter than the table beside it.
 *
 * @param gray small: some 300 px on its longer side
 */
export function findPageCorners(gray: Gray): PageCorners | undefined {
  const { width, height } = gray;
  const light = gaussianBlur(
    { width, height, data: Float32Array.from(gray.data, (value) => Math.log(value + NEAR_BLACK)) },
    CALM,
  );
  const edges = straightEdges(light, LEAST_STEP / 4, MOST_EDGES);
  let best: { readonly corners: readonly Place[]; readonly worth: number } | undefined;
  for (const sides of foursOf(edges, gray)) {
    const corners = cornersBetween(sides);
    if (!isPage(corners, gray)) continue;
    const seen = outlineSeen(light, corners);
    if (seen < LEAST_OF_ALL || !isEven(light, corners)) continue;
    // Of two that are seen as well the larger one: a light part of the drawing lies on the page.
    const worth = seen ** 4 * quadrilateralArea(corners);
    if (!best || worth > best.worth) best = { corners, worth };
  }
  if (!best) return undefined;
  // The second time from nearer by: a direction is known to a degree only at first.
  const fitted = refined(light, refined(light, best.corners));
  return inOrder(
    fitted.map(([x, y]) => [inside((100 * (x + 0.5)) / width), inside((100 * (y + 0.5)) / height)]),
  );
}

type Place = readonly [x: number, y: number];

const inside = (percent: number): number => Math.min(Math.max(percent, 0), 100);
const placeDistance = ([x0, y0]: Place, [x1, y1]: Place): number => Math.hypot(x1 - x0, y1 - y0);
const quadrilateralArea = (corners: readonly Place[]): number =>
  Math.abs(signedArea(Float64Array.from(corners.flat())));

/**
 * Fours of edges that turn round a page the same way, each by about a quarter and within the picture; each four once, by its
 * first edge.
 */
function* foursOf(
  edges: readonly StraightEdge[],
  size: PixelSize,
): Generator<readonly StraightEdge[]> {
  const meet = (first: StraightEdge, second: StraightEdge): boolean =>
    isQuarter(first.angle, second.angle) && isInPicture(cornerOf(first, second), size);
  const next = edges.map((edge) => [...edges.keys()].filter((other) => meet(edge, edges[other])));
  for (const first of edges.keys()) {
    const isLater = (other: number) => other > first;
    const isLast = new Set([...next.keys()].filter((other) => next[other].includes(first)));
    for (const second of next[first].filter(isLater))
      for (const third of next[second].filter(isLater))
        for (const fourth of next[third].filter(isLater))
          if (isLast.has(fourth)) yield [first, second, third, fourth].map((side) => edges[side]);
  }
}

/** Whether the second angle lies about a quarter of a turn clockwise (y down) from the first. */
function isQuarter(first: number, second: number): boolean {
  const degrees = (((second - first) / Math.PI) * 180 + 360) % 360;
  return degrees >= LEAST_TURN && degrees <= 180 - LEAST_TURN;
}

/** Where two sides meet that are not parallel. */
function cornerOf(before: StraightEdge, after: StraightEdge): Place {
  const across = Math.sin(after.angle - before.angle);
  return [
    (before.from * Math.sin(after.angle) - after.from * Math.sin(before.angle)) / across,
    (after.from * Math.cos(before.angle) - before.from * Math.cos(after.angle)) / across,
  ];
}

/** Where each side meets the one before it. */
const cornersBetween = (sides: readonly StraightEdge[]): readonly Place[] =>
  sides.map((side, i) => cornerOf(sides[(i + sides.length - 1) % sides.length], side));

/** Whether a place lies in the picture, or next to it. */
function isInPicture([x, y]: Place, { width, height }: PixelSize): boolean {
  const [outX, outY] = [(OUTSIDE / 100) * width, (OUTSIDE / 100) * height];
  return x >= -outX && y >= -outY && x <= width + outX && y <= height + outY;
}

/** Whether four places are a page's corners: large enough, and one after the other clockwise. */
const isPage = (corners: readonly Place[], { width, height }: PixelSize): boolean =>
  corners.every((corner, i) => isRightTurn(corner, corners[(i + 1) % 4], corners[(i + 2) % 4])) &&
  quadrilateralArea(corners) >= LEAST_SHARE * width * height;

const isRightTurn = ([ax, ay]: Place, [bx, by]: Place, [cx, cy]: Place): boolean =>
  (bx - ax) * (cy - by) - (by - ay) * (cx - bx) > 0;

/** A side from corner to corner clockwise: places on it, and the way to the inside of the page. */
function alongOf(from: Place, to: Place) {
  const length = placeDistance(from, to);
  const [dx, dy] = [(to[0] - from[0]) / length, (to[1] - from[1]) / length];
  const places = Array.from({ length: PLACES }, (_, i): Place => {
    const along = ((i + 0.5) / PLACES) * length;
    return [from[0] + dx * along, from[1] + dy * along];
  });
  return { places, inwards: [-dy, dx] as const };
}

/** Which share of an outline can be seen; 0 where a side of it hardly can. */
function outlineSeen(light: Field, corners: readonly Place[]): number {
  let [seen, outline] = [0, 0];
  for (const [i, from] of corners.entries()) {
    const to = corners[(i + 1) % corners.length];
    const share = sideSeen(light, from, to);
    if (share < LEAST_OF_SIDE) return 0;
    seen += share * placeDistance(from, to);
    outline += placeDistance(from, to);
  }
  return seen / outline;
}

/** Which share of a side can be seen: where it becomes lighter across it. */
function sideSeen(light: Field, from: Place, to: Place): number {
  const { places, inwards } = alongOf(from, to);
  const isSeen = (place: Place) =>
    [-BENT, 0, BENT].some((bend) => {
      const within = meanAt(light, place, inwards, INSIDE, bend) - LEAST_STEP;
      return [NEAR, FAR].every((beside) => meanAt(light, place, inwards, beside, bend) <= within);
    });
  return places.filter(isSeen).length / PLACES;
}

/** Whether it is as light all along each side within an outline, but for how the light falls off. */
const isEven = (light: Field, corners: readonly Place[]): boolean =>
  corners.every((from, i) => {
    const { places, inwards } = alongOf(from, corners[(i + 1) % corners.length]);
    const within = places.map((place) => meanAt(light, place, inwards, INSIDE, 0));
    return unevenness(within) <= MOST_UNEVEN;
  });

/** How far half of the values lie off a parabola through all of them, by least squares. */
function unevenness(values: readonly number[]): number {
  const along = values.map((_, i) => (2 * i + 1) / values.length - 1);
  const square = along.reduce((sum, t) => sum + t * t, 0) / along.length;
  const fit = [along.map(() => 1), along, along.map((t) => t * t - square)];
  let rest = values;
  // They are at right angles to each other: each is taken away by itself.
  for (const part of fit) {
    const share = dot(rest, part) / dot(part, part);
    rest = rest.map((value, i) => value - share * part[i]);
  }
  return rest.map(Math.abs).toSorted((a, b) => a - b)[rest.length >> 1];
}

const dot = (a: readonly number[], b: readonly number[]): number =>
  a.reduce((sum, value, i) => sum + value * b[i], 0);

/** The mean of a few places across a side, a bend farther in. */
function meanAt(
  light: Field,
  [x, y]: Place,
  [nx, ny]: Place,
  offsets: readonly number[],
  bend: number,
): number {
  let sum = 0;
  for (const offset of offsets)
    sum += nearestValue(light, x + (offset + bend) * nx, y + (offset + bend) * ny);
  return sum / offsets.length;
}

function nearestValue({ width, height, data }: Field, x: number, y: number): number {
  const column = Math.min(Math.max(Math.round(x), 0), width - 1);
  const row = Math.min(Math.max(Math.round(y), 0), height - 1);
  return data[row * width + column];
}

/** How far from a rough line a side's own place is looked for, in px, and in which steps. */
const FIT_PX = 4;
const FIT_STEP = 0.5;

/** The corners of sides that lie where it becomes lighter the most. */
function refined(light: Field, corners: readonly Place[]): readonly Place[] {
  return cornersBetween(corners.map((from, i) => fittedSide(light, from, corners[(i + 1) % 4])));
}

/** The line through the places where it becomes lighter the most, fitted by least squares without those that lie off it. */
function fittedSide(light: Field, from: Place, to: Place): StraightEdge {
  const { places, inwards } = alongOf(from, to);
  const [nx, ny] = inwards;
  const offsets = places.map(([x, y]) => {
    let [best, most] = [0, 0];
    for (let off = -FIT_PX; off <= FIT_PX; off += FIT_STEP) {
      const [px, py] = [x + off * nx, y + off * ny];
      const step = bilinearAt(light, px + nx, py + ny) - bilinearAt(light, px - nx, py - ny);
      if (step > most) [best, most] = [off, step];
    }
    return best;
  });
  const middle = offsets.toSorted((a, b) => a - b)[PLACES >> 1];
  const kept = [...offsets.keys()].filter((i) => Math.abs(offsets[i] - middle) <= BENT);
  const [slope, start] = straight(kept, kept.map((i) => offsets[i])); // prettier-ignore
  const at = (i: number): Place => {
    const off = start + slope * i;
    return [places[i][0] + off * nx, places[i][1] + off * ny];
  };
  const [a, b] = [at(0), at(PLACES - 1)];
  const angle = Math.atan2(b[0] - a[0], -(b[1] - a[1]));
  return { angle, from: a[0] * Math.cos(angle) + a[1] * Math.sin(angle) };
}

/** Slope and start of the line through values at whole places, by least squares. */
function straight(places: readonly number[], values: readonly number[]): readonly [number, number] {
  const meanOf = (all: readonly number[]) => all.reduce((sum, one) => sum + one, 0) / all.length;
  const [mp, mv] = [meanOf(places), meanOf(values)];
  const under = places.reduce((sum, place) => sum + (place - mp) ** 2, 0);
  const over = places.reduce((sum, place, i) => sum + (place - mp) * (values[i] - mv), 0);
  const slope = under > 0 ? over / under : 0;
  return [slope, mv - slope * mp];
}

/** The value between four pixels (bilinear). */
function bilinearAt(light: Field, x: number, y: number): number {
  const [x0, y0] = [Math.floor(x), Math.floor(y)];
  const [fx, fy] = [x - x0, y - y0];
  const upper = nearestValue(light, x0, y0) * (1 - fx) + nearestValue(light, x0 + 1, y0) * fx;
  const lower =
    nearestValue(light, x0, y0 + 1) * (1 - fx) + nearestValue(light, x0 + 1, y0 + 1) * fx;
  return upper * (1 - fy) + lower * fy;
}

/** Clockwise from the corner nearest to the top left. */
function inOrder(corners: readonly Place[]): PageCorners {
  const sums = corners.map(([x, y]) => x + y);
  const first = sums.indexOf(Math.min(...sums));
  return [0, 1, 2, 3].map((i) => corners[(first + i) % 4]) as unknown as PageCorners;
}
