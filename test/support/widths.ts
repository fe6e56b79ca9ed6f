import type { Sheet } from '../../src/settings/card.js';
import type { Bitmap } from '../../src/raster/raster.js';
import { components, distancesToZero, inverse } from './opencv.js';
import { svgPicture } from './resvg.js';

/*
 * How wide film and openings are, measured on a stencil.svg by others' hands: drawn by resvg (SVG 2), with distances and
 * regions by OpenCV. The whole sheet is drawn at 20 px a mm (less on large cards), where the necks are found; each of
 * these again at 200 px a mm, where they are measured. Nothing of this is shared with `src`, which measures on a
 * triangulation of the curves.
 */

type Region = 'film' | 'opening';

/** The narrowest place of a neck between two parts that each hold a disk of the limit's diameter. */
export interface MeasuredNeck {
  readonly region: Region;
  readonly widthMm: number;
  readonly x: number;
  readonly y: number;
}

const FIND_PER_MM = 20;
/** The tip of an opening that pixels part from the rest of it is no opening of its own, in mm². */
const PARTED_TIP_MM2 = 0.5;
/** Beyond 4,097 columns OpenCV's exact distances are wrong. */
const MOST_PX = 4000;
const MEASURE_PER_MM = 200;
/** What a width at the coarse scale may be off by, in px. */
const COARSE_PX = 2;
/** Where two floods meet is a neck when both began so much wider, in mm: pixels alone make narrower ones. */
const LEAST_WAIST_MM = 0.03;
const MM_PER_INCH = 25.4;

/** The necks that are narrower than a limit, the narrowest first; widths to 0.01 mm. */
export function measureNecks(
  svg: string,
  sheet: Sheet,
  limits: Readonly<Record<Region, number>>,
): MeasuredNeck[] {
  const perMm = Math.min(FIND_PER_MM, MOST_PX / Math.max(sheet.widthMm, sheet.heightMm));
  const opening = ringed(drawn(svg, perMm));
  // Within the ring all that is no opening is film; beyond the sheet there is neither.
  const film = ringed(inverse(drawn(svg, perMm)));
  const found: Record<Region, readonly Found[]> = {
    film: [...floodedNecks(film, limits.film, perMm), ...betweenOpenings(film, limits.film, perMm)],
    opening: floodedNecks(opening, limits.opening, perMm),
  };
  return (['film', 'opening'] as const)
    .flatMap((region) => {
      const large = (x: number, y: number): Large =>
        drawLarge(svg, sheet, region, x, y, 3 * limits[region]);
      return found[region]
        .map(({ x, y, part }) => ({ region, widthMm: widthAt(large(x, y)), x, y, part }))
        .filter(({ widthMm }) => widthMm < limits[region])
        .filter(({ part }) => !part || widestAt(large(part.x, part.y)) >= limits[region]);
    })
    .map(({ region, widthMm, x, y }) => ({ region, widthMm, x, y }))
    .sort((a, b) => a.widthMm - limits[a.region] - (b.widthMm - limits[b.region]));
}

/** What is cut, as 1; the sheet's edge, which is drawn on the outermost pixels, is not. */
function drawn(svg: string, perMm: number): Bitmap {
  const { width, height, data } = painted(svg, perMm);
  const rim = Math.ceil(0.1 * perMm);
  for (let y = 0; y < height; y++) {
    const row = data.subarray(y * width, (y + 1) * width);
    if (y < rim || y >= height - rim) row.fill(0);
    else row.fill(0, 0, rim).fill(0, width - rim);
  }
  return { width, height, data };
}

function painted(svg: string, perMm: number): Bitmap {
  const { pixels, width, height } = svgPicture(svg, { dpi: perMm * MM_PER_INCH }).render();
  const data = new Uint8Array(width * height);
  for (let i = 0; i < data.length; i++) data[i] = pixels[4 * i + 3] >= 128 ? 1 : 0;
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

/** A place where there may be a neck, in mm; and the widest place of the smaller part, if that is hardly wide enough. */
interface Found extends Place {
  readonly part?: Place;
}

/** The middle of a pixel of a ringed bitmap, in mm. */
function placeOf(i: number, width: number, perMm: number): Place {
  const y = Math.floor(i / width);
  return { x: (i - y * width - 0.5) / perMm, y: (y - 0.5) / perMm };
}

/**
 * Floods a region from its widest places down. Where two floods meet that both began at the limit's width, there is a
 * neck as wide as the place where they meet.
 */
function floodedNecks(region: Bitmap, limitMm: number, perMm: number): Found[] {
  const { width } = region;
  const distances = distancesToZero(region);
  // From a pixel's centre to the first one outside: half a pixel more than to the outline.
  const widthOf = (i: number): number => (2 * distances[i] - 1) / perMm;
  const isWide = { ...region, data: new Uint8Array(distances.length) };
  const narrow: number[] = [];
  for (let i = 0; i < distances.length; i++) {
    if (distances[i] === 0) continue;
    if (widthOf(i) >= limitMm + COARSE_PX / perMm) isWide.data[i] = 1;
    else narrow.push(i);
  }
  const { labels, count } = components(isWide, 8);
  const flood = new Int32Array(labels);
  const parent = Array.from({ length: count + 1 }, (_, k) => k);
  /** By flood: its first pixel; -1 where it is wide beyond doubt. */
  const began = Array.from({ length: count + 1 }, () => -1);
  const find = (k: number): number => {
    while (parent[k] !== k) k = parent[k] = parent[parent[k]];
    return k;
  };
  const beganAt = (k: number): number => (began[k] < 0 ? Infinity : widthOf(began[k]));
  const necks: Found[] = [];
  const round = [-width - 1, -width, -width + 1, -1, 1, width - 1, width, width + 1];
  for (const i of Int32Array.from(narrow).sort((a, b) => distances[b] - distances[a])) {
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
      const [less, more] = beganAt(own) < beganAt(other) ? [own, other] : [other, own];
      if (beganAt(less) >= limitMm && here < Math.min(limitMm, beganAt(less) - LEAST_WAIST_MM)) {
        const part = began[less] < 0 ? undefined : placeOf(began[less], width, perMm);
        necks.push({ ...placeOf(i, width, perMm), ...(part && { part }) });
      }
      parent[less] = more;
      own = more;
    }
    if (own === 0) {
      own = parent.length;
      parent.push(own);
      began.push(i);
    }
    flood[i] = own;
  }
  return necks;
}

/**
 * The places at which two different openings come nearer to each other than a strip of film may be wide: of those within
 * a limit of each other the narrowest.
 */
function betweenOpenings(film: Bitmap, limitMm: number, perMm: number): Found[] {
  const { width, height, data } = film;
  const { labels, areas } = components(inverse(film), 8);
  const isCrumb = areas.map((area) => Number(area < PARTED_TIP_MM2 * perMm ** 2));
  const reach = Math.ceil(limitMm * perMm + COARSE_PX);
  const found: { readonly x: number; readonly y: number; readonly gap: number }[] = [];
  for (let i = 1; i + 1 < data.length; i++) {
    const own = labels[i];
    const isRim = data[i - 1] || data[i + 1] || data[i - width] || data[i + width];
    if (own === 0 || !isRim || isCrumb[own]) continue;
    const [x, y] = [i % width, Math.floor(i / width)];
    let [gap, at] = [reach * reach, -1];
    for (let row = y; row <= Math.min(height - 1, y + reach); row++) {
      for (let k = Math.max(0, x - reach); k <= Math.min(width - 1, x + reach); k++) {
        const other = labels[row * width + k];
        if (other === 0 || other === own || isCrumb[other]) continue;
        const off = (k - x) ** 2 + (row - y) ** 2;
        if (off < gap) [gap, at] = [off, row * width + k];
      }
    }
    if (at < 0) continue;
    found.push({ x: (x + (at % width)) / 2, y: (y + Math.floor(at / width)) / 2, gap });
  }
  const kept: typeof found = [];
  for (const place of found.sort((a, b) => a.gap - b.gap)) {
    if (!kept.some((known) => apart(place, known) < limitMm * perMm)) kept.push(place);
  }
  return kept.map(({ x, y }) => ({ x: (x - 0.5) / perMm, y: (y - 0.5) / perMm }));
}

/** A small part of the sheet, drawn large: 1 where the region is. */
function drawLarge(
  svg: string,
  { widthMm, heightMm }: Sheet,
  region: Region,
  x: number,
  y: number,
  sideMm: number,
): Large {
  const [left, top] = [x - sideMm / 2, y - sideMm / 2];
  const size = `width="${sideMm}mm" height="${sideMm}mm"`;
  const part = svg
    .replace(
      / width="[^"]*" height="[^"]*" viewBox="[^"]*"/,
      ` ${size} viewBox="${left} ${top} ${sideMm} ${sideMm}"`,
    )
    .replace(/<rect[^>]*\/>/, '');
  const { width, height, data } = painted(part, MEASURE_PER_MM);
  const inRegion = data.map((isOpening, i) => {
    const px = left + ((i % width) + 0.5) / MEASURE_PER_MM;
    const py = top + (Math.floor(i / width) + 0.5) / MEASURE_PER_MM;
    const isOff = px < 0 || py < 0 || px > widthMm || py > heightMm;
    return isOff ? 0 : region === 'opening' ? isOpening : 1 - isOpening;
  });
  return { width, height, data: inRegion };
}

type Large = Bitmap;

/** How far from the place that was found another is looked for, in px. */
const FOLLOW_PX = 0.7 * MEASURE_PER_MM;
/** How far the widest place of a part may lie from where it was found, in px. */
const PEAK_PX = 0.15 * MEASURE_PER_MM;
/** What may reach into the disk between two places, in px: they were found to a pixel. */
const EMPTY_PX = 4;

/** The diameter of the largest disk near the middle of a part, in mm. */
function widestAt(large: Large): number {
  const distances = distancesToZero(large);
  const middle = { x: large.width / 2, y: large.height / 2 };
  let most = 0;
  distances.forEach((distance, i) => {
    const place = { x: i % large.width, y: Math.floor(i / large.width) };
    if (apart(place, middle) < PEAK_PX) most = Math.max(most, distance);
  });
  return (2 * most - 1) / MEASURE_PER_MM;
}

/** The shortest way across a region at the middle of a part, in mm; Infinity where there is no waist. */
function widthAt(large: Large): number {
  const { width, height } = large;
  const outside = rimOf(large);
  const middle = { x: width / 2, y: height / 2 };
  const first = nearest(middle, outside);
  if (!first) return Infinity;
  const sideOf = ({ x, y }: Place): number =>
    (x - middle.x) * (first.x - middle.x) + (y - middle.y) * (first.y - middle.y);
  const facing = outside.filter((place) => sideOf(place) < 0);
  const second = nearest(middle, facing);
  if (!second) return Infinity;
  const here = near(first, outside).filter((place) => sideOf(place) > 0);
  const beyond = near(second, facing);
  let [a, b] = [first, second];
  for (const place of here) {
    const other = nearest(place, beyond);
    if (other && apart(place, other) < apart(a, b)) [a, b] = [place, other];
  }
  // What goes on narrowing is a taper, or a strip with hardly a waist: there it is as wide as the disk in it.
  const slid = Math.max(apart(a, first), apart(b, second)) > FOLLOW_PX - 5;
  if (slid) return widestAt(large);
  // At a waist the disk between the two places is empty; in the end of a strip its tip lies in that disk.
  const between = { x: (a.x + b.x) / 2, y: (a.y + b.y) / 2 };
  const radius = apart(a, b) / 2 - EMPTY_PX;
  if (outside.some((place) => apart(place, between) < radius)) return Infinity;
  return (apart(a, b) - 1) / MEASURE_PER_MM;
}

/** The pixels outside a region that lie beside it. */
function rimOf({ width, height, data }: Large): Place[] {
  const rim: Place[] = [];
  for (let y = 1; y < height - 1; y++) {
    for (let x = 1; x < width - 1; x++) {
      const i = y * width + x;
      if (data[i] === 1) continue;
      if (data[i - 1] || data[i + 1] || data[i - width] || data[i + width]) rim.push({ x, y });
    }
  }
  return rim;
}

const apart = (a: Place, b: Place): number => Math.hypot(a.x - b.x, a.y - b.y);

const near = (at: Place, places: readonly Place[]): Place[] =>
  places.filter((place) => apart(place, at) < FOLLOW_PX);

function nearest(to: Place, places: readonly Place[]): Place | undefined {
  let best: Place | undefined;
  let least = Infinity;
  for (const place of places) {
    const off = apart(place, to);
    if (off < least) [best, least] = [place, off];
  }
  return best;
}
