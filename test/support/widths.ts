import type { Sheet } from '../../src/card.js';
import type { Bitmap } from '../../src/raster/raster.js';
import { components, distancesToZero, inverse } from './opencv.js';
import { svgPicture } from './resvg.js';

/*
 * How wide film and openings are, measured on a stencil.svg by others' hands: drawn by resvg (SVG 2), with distances and
 * regions by OpenCV. The whole sheet is drawn at 20 px a mm (less on large cards), where the necks are found; each of these again at 200 px a
 * mm, where they are measured. Nothing of this is shared with `src`, which measures on a triangulation of the curves.
 */

/** The narrowest place of a neck between two parts that each hold a disk of the limit's diameter. */
export interface MeasuredNeck {
  readonly region: 'film' | 'opening';
  readonly widthMm: number;
  readonly x: number;
  readonly y: number;
}

const FIND_PER_MM = 20;
/** Beyond 4,097 columns OpenCV's exact distances are wrong. */
const MOST_PX = 4000;
const MEASURE_PER_MM = 200;
/** What a width at the coarse scale may be off by, in px. */
const COARSE_PX = 2;
const MM_PER_INCH = 25.4;

/** The necks that are narrower than a limit, the narrowest first; widths to 0.01 mm. */
export function measureNecks(
  svg: string,
  sheet: Sheet,
  limits: { readonly film: number; readonly opening: number },
): MeasuredNeck[] {
  const perMm = Math.min(FIND_PER_MM, MOST_PX / Math.max(sheet.widthMm, sheet.heightMm));
  const opening = drawn(svg, perMm);
  const film = ringed(inverse(opening));
  return [
    ...[...necksOf(film, limits.film, perMm, 1), ...betweenOpenings(film, limits.film, perMm)].map(
      (at) => ({
        region: 'film' as const,
        ...at,
      }),
    ),
    ...necksOf(opening, limits.opening, perMm, 0).map((at) => ({
      region: 'opening' as const,
      ...at,
    })),
  ]
    .map(({ region, x, y }) => {
      const widthMm = widthAt(svg, sheet, region, x, y, limits[region]);
      return { region, widthMm, x, y };
    })
    .filter(({ region, widthMm }) => widthMm < limits[region])
    .sort((a, b) => a.widthMm - limits[a.region] - (b.widthMm - limits[b.region]));
}

/** What is cut, as 1; the sheet's edge, which is drawn on the outermost pixels, is not. */
function drawn(svg: string, perMm: number): Bitmap {
  const { pixels, width, height } = svgPicture(svg, { dpi: perMm * MM_PER_INCH }).render();
  const data = new Uint8Array(width * height);
  const rim = Math.ceil(0.1 * perMm);
  for (let y = rim; y < height - rim; y++) {
    for (let x = rim; x < width - rim; x++) {
      data[y * width + x] = pixels[4 * (y * width + x) + 3] >= 128 ? 1 : 0;
    }
  }
  return { width, height, data };
}

/** The bitmap with a ring of 0 round it. */
function ringed({ width, height, data }: Bitmap): Bitmap {
  const wide = width + 2;
  const ring = new Uint8Array(wide * (height + 2));
  for (let y = 0; y < height; y++) {
    ring.set(data.subarray(y * width, (y + 1) * width), (y + 1) * wide + 1);
  }
  return { width: wide, height: height + 2, data: ring };
}

interface Place {
  readonly x: number;
  readonly y: number;
}

/**
 * Floods the region from its widest places down. Where two floods meet that both began at the limit's width, there is a
 * neck of the width of the place where they meet.
 */
function necksOf(region: Bitmap, limitMm: number, perMm: number, ring: number): Place[] {
  const { width } = region;
  const distances = distancesToZero(region);
  // From a pixel's centre to the first one outside: half a pixel more than to the outline.
  const widthOf = (i: number): number => (2 * distances[i] - 1) / perMm;
  const wide = limitMm + COARSE_PX / perMm;
  const isWide = { ...region, data: new Uint8Array(distances.length) };
  const narrow: number[] = [];
  for (let i = 0; i < distances.length; i++) {
    if (distances[i] === 0) continue;
    if (widthOf(i) >= wide) isWide.data[i] = 1;
    else narrow.push(i);
  }
  const { labels, count } = components(isWide, 8);
  const flood = new Int32Array(labels);
  const parent = Array.from({ length: count + 1 }, (_, k) => k);
  const began = Array.from({ length: count + 1 }, () => Infinity);
  const find = (k: number): number => {
    while (parent[k] !== k) k = parent[k] = parent[parent[k]];
    return k;
  };
  const necks: Place[] = [];
  const order = Int32Array.from(narrow).sort((a, b) => distances[b] - distances[a]);
  const round = [-width - 1, -width, -width + 1, -1, 1, width - 1, width, width + 1];
  for (const i of order) {
    const here = widthOf(i);
    let own = 0;
    for (const step of round) {
      const label = flood[i + step] ?? 0;
      const other = label === 0 ? 0 : find(label);
      if (other === 0 || other === own) continue;
      if (own === 0) {
        own = other;
        continue;
      }
      if (began[own] >= limitMm && began[other] >= limitMm && here < limitMm) {
        const y = Math.floor(i / width);
        necks.push({
          x: (i - y * width + 0.5 - ring) / perMm,
          y: (y + 0.5 - ring) / perMm,
        });
      }
      parent[other] = own;
      began[own] = Math.max(began[own], began[other]);
    }
    if (own === 0) {
      own = parent.length;
      parent.push(own);
      began.push(here);
    }
    flood[i] = own;
  }
  return necks;
}

/**
 * The places at which two different openings, or an opening and the sheet's edge, come nearer to each other than a strip
 * of film may be wide: of those within a limit of each other the narrowest.
 */
function betweenOpenings(film: Bitmap, limitMm: number, perMm: number): Place[] {
  const { width, data } = film;
  const { labels } = components(inverse(film), 8);
  const reach = Math.ceil(limitMm * perMm + COARSE_PX);
  const found: { readonly x: number; readonly y: number; readonly gap: number }[] = [];
  for (let i = 1; i + 1 < data.length; i++) {
    const own = labels[i];
    const isEdge = own > 0 && (data[i - 1] || data[i + 1] || data[i - width] || data[i + width]);
    if (!isEdge) continue;
    const [x, y] = [i % width, Math.floor(i / width)];
    let [least, at] = [reach * reach, -1];
    for (let row = y; row <= Math.min(film.height - 1, y + reach); row++) {
      for (let k = Math.max(0, x - reach); k <= Math.min(width - 1, x + reach); k++) {
        const other = labels[row * width + k];
        if (other === 0 || other === own) continue;
        const off = (k - x) ** 2 + (row - y) ** 2;
        if (off < least) [least, at] = [off, row * width + k];
      }
    }
    if (at < 0) continue;
    const [u, v] = [at % width, Math.floor(at / width)];
    found.push({ x: (x + u) / 2, y: (y + v) / 2, gap: least });
  }
  const kept: typeof found = [];
  for (const place of found.sort((a, b) => a.gap - b.gap)) {
    const isKnown = kept.some(({ x, y }) => Math.hypot(place.x - x, place.y - y) < limitMm * perMm);
    if (!isKnown) kept.push(place);
  }
  return kept.map(({ x, y }) => ({
    x: (x - 0.5) / perMm,
    y: (y - 0.5) / perMm,
  }));
}

/** The shortest way across a region at a place on its middle line, drawn large; in mm. */
function widthAt(
  svg: string,
  { widthMm, heightMm }: Sheet,
  region: 'film' | 'opening',
  x: number,
  y: number,
  limitMm: number,
): number {
  const side = 2 * limitMm;
  const [left, top] = [x - side / 2, y - side / 2];
  const part = svg
    .replace(
      / width="[^"]*" height="[^"]*" viewBox="[^"]*"/,
      ` width="${side}mm" height="${side}mm" viewBox="${left} ${top} ${side} ${side}"`,
    )
    .replace(/<rect[^>]*\/>/, '');
  const { width, height, data } = drawnWhole(part);
  const outside: Place[] = [];
  const isOutside = (column: number, row: number): boolean => {
    const [px, py] = [left + (column + 0.5) / MEASURE_PER_MM, top + (row + 0.5) / MEASURE_PER_MM];
    const isOff = px < 0 || py < 0 || px > widthMm || py > heightMm;
    const isOpening = !isOff && data[row * width + column] === 1;
    return region === 'film' ? isOff || isOpening : !isOpening;
  };
  for (let row = 1; row < height - 1; row++) {
    for (let column = 1; column < width - 1; column++) {
      if (!isOutside(column, row)) continue;
      const inner =
        !isOutside(column - 1, row) ||
        !isOutside(column + 1, row) ||
        !isOutside(column, row - 1) ||
        !isOutside(column, row + 1);
      if (inner) outside.push({ x: column, y: row });
    }
  }
  const middle = { x: width / 2, y: height / 2 };
  const first = nearest(middle, outside);
  if (!first) return Infinity;
  const sideOf = ({ x: px, y: py }: Place): number =>
    (px - middle.x) * (first.x - middle.x) + (py - middle.y) * (first.y - middle.y);
  const second = nearest(
    middle,
    outside.filter((place) => sideOf(place) < 0),
  );
  if (!second) return Infinity;
  const [here, beyond] = [near(first, outside), near(second, outside)].map((places, k) =>
    places.filter((place) => (k === 0 ? sideOf(place) > 0 : sideOf(place) < 0)),
  );
  let [a, b] = [first, second];
  for (let turn = 0; turn < TURNS; turn++) {
    a = nearest(b, here) ?? a;
    b = nearest(a, beyond) ?? b;
  }
  // What goes on narrowing is a taper: there it is as wide as where it was found.
  const slid = Math.max(apart(a, first), apart(b, second)) > FOLLOW_PX - 2;
  const [from, to] = slid ? [first, second] : [a, b];
  return (apart(from, to) - 1) / MEASURE_PER_MM;
}

function drawnWhole(svg: string): Bitmap {
  const { pixels, width, height } = svgPicture(svg, {
    dpi: MEASURE_PER_MM * MM_PER_INCH,
  }).render();
  const data = new Uint8Array(width * height);
  for (let i = 0; i < data.length; i++) data[i] = pixels[4 * i + 3] >= 128 ? 1 : 0;
  return { width, height, data };
}

/** How far a side's nearest place is followed, in px. */
const FOLLOW_PX = 0.4 * MEASURE_PER_MM;
const TURNS = 10;

const apart = (a: Place, b: Place): number => Math.hypot(a.x - b.x, a.y - b.y);

const near = (at: Place, places: readonly Place[]): Place[] =>
  places.filter((place) => apart(place, at) < FOLLOW_PX);

function nearest(to: Place, places: readonly Place[]): Place | undefined {
  let best: Place | undefined;
  let least = Infinity;
  for (const place of places) {
    const off = Math.hypot(place.x - to.x, place.y - to.y);
    if (off < least) [best, least] = [place, off];
  }
  return best;
}
