import { convexHull } from '../../geometry/hull.js';
import { signedArea } from '../../geometry/signed-area.js';
import { gaussianBlur } from '../../raster/blur.js';
import { fieldOf, type Field } from '../../raster/field.js';
import { histogramOf, otsu } from '../../raster/histogram.js';
import { findRegions } from '../../raster/labels.js';
import { under } from '../../raster/pointwise.js';
import type { Gray } from '../../raster/raster.js';
import type { PageCorners } from '../../settings/held.js';

/** A page on a table is at least so large a part of its picture, and no more: beyond that the picture is the page. */
const LEAST_SHARE = 0.12;
const MOST_SHARE = 0.985;
/** Four corners say at least this much of the page's outline: a thumb or a curl may hide some of it. */
const LEAST_FILLED = 0.88;
/** Px (σ): what is drawn on the page is no edge of it. */
const CALM = 1.2;

/**
 * The four corners of a light page that lies on something darker, in percent of the picture, from the top left clockwise;
 * undefined where there is none.
 *
 * The page is the largest region that is lighter than Otsu's level; its convex hull loses the corner that takes least
 * with it until four are left.
 *
 * @param gray small: some 300 px on its longer side
 */
export function findPageCorners(gray: Gray): PageCorners | undefined {
  const { width, height } = gray;
  const field: Field = fieldOf(gray, { x: 0, y: 0, width, height });
  const calm = gaussianBlur(field, CALM);
  const level = otsu(histogramOf(calm)).level + 0.5;
  const light = { width, height, data: under(calm.data, level, 0) };
  const { areas, numbers, starts, ends } = findRegions(light, 1, 4);
  if (areas.length < 2) return undefined;
  const largest = areas.indexOf(Math.max(...areas));
  const places: number[] = [];
  for (let run = 0; run < starts.length; run++) {
    if (numbers[run] !== largest) continue;
    const row = Math.floor(starts[run] / width);
    const [first, last] = [starts[run] - row * width, ends[run] - row * width];
    places.push(first, row, last, row, first, row + 1, last, row + 1);
  }
  const hull = pairs(convexHull(Float64Array.from(places)));
  const whole = areaOf(hull);
  const share = whole / (width * height);
  if (share < LEAST_SHARE || share > MOST_SHARE) return undefined;
  const four = reduced(hull);
  if (four.length < 4 || areaOf(four) < LEAST_FILLED * whole) return undefined;
  return inOrder(four.map(([x, y]) => [(100 * x) / width, (100 * y) / height]));
}

type Corner = readonly [number, number];

const pairs = (numbers: Float64Array): Corner[] =>
  Array.from({ length: numbers.length / 2 }, (_, i) => [numbers[2 * i], numbers[2 * i + 1]]);

const areaOf = (corners: readonly Corner[]): number =>
  Math.abs(signedArea(Float64Array.from(corners.flat())));

/** Without the corner that takes least area with it, again and again, down to four. */
function reduced(hull: readonly Corner[]): readonly Corner[] {
  let corners = [...hull];
  while (corners.length > 4) {
    const losses = corners.map((corner, i) =>
      areaOf([corners.at(i - 1) ?? corner, corner, corners[(i + 1) % corners.length]]),
    );
    const least = losses.indexOf(Math.min(...losses));
    corners = corners.filter((_, i) => i !== least);
  }
  return corners;
}

/** Clockwise from the corner nearest to the top left. */
function inOrder(corners: readonly Corner[]): PageCorners {
  const sums = corners.map(([x, y]) => x + y);
  const first = sums.indexOf(Math.min(...sums));
  return [0, 1, 2, 3].map((i) => corners[(first + i) % 4]) as unknown as PageCorners;
}
