import type { Sheet } from '../../src/settings/card.js';
import type { Finding, Made } from '../../src/index.js';
import type { Job } from '../../src/settings/job.js';
import type { Bitmap } from '../../src/raster/raster.js';
import { above } from './bitmaps.js';
import { components, distancesToZero, inverse } from './opencv.js';
import { curvesOf, tightPart, type Curve } from './path-data.js';
import { svgPicture } from './resvg.js';

/*
 * The promises, measured on a finished stencil.svg by others' hands: drawn by resvg (SVG 2), labelled and measured
 * by OpenCV. Of our own code only the types are used.
 */

export const PIXELS_PER_MM = 10;
const MM_PER_INCH = 25.4;

/** Where a promise is broken; the codes are those of the report's findings. */
export interface Broken {
  readonly code:
    | 'loose-island'
    | 'weak-hold'
    | 'narrow-opening'
    | 'small-opening'
    | 'tight-turn'
    | 'in-margin'
    | 'wrong-size';
  /** One line: what, how much, and where in mm. */
  readonly says: string;
}

export interface Drawing {
  /** The whole sheet at 10 px a mm; 1 is opening. */
  readonly bitmap: Bitmap;
  readonly curves: readonly Curve[];
}

type Limits = Pick<
  Job,
  'margin' | 'narrowestStrip' | 'narrowestOpening' | 'smallestOpening' | 'tightestTurn'
>;

/** Just under half a width: this much less, in mm. */
const JUST_UNDER_MM = 0.1;
/** What one renderer's pixels and another's may differ by along a strip that is just wide enough. */
const GRID_PX = 0.5;
/** The point of a tongue, or of an opening, tapers to less than a pixel: crumbs smaller than this hang on by their corners. */
const TIP_MM2 = 0.05;
const MARGIN_TOLERANCE_MM = 0.1;
/** A side is true to 0.1 mm over the card, which is a pixel here. */
const SIZE_TOLERANCE_PX = 1;
const AREA_TOLERANCE = 0.03;
/** Beyond a slight waist a room of its own has at least this much that is wide enough, in mm². */
const ROOM_MM2 = 0.25;
/** A share of the radius: what is this little tighter is not felt. */
const TURN_TOLERANCE = 0.15;
/** Nor is a turn by so little (10°), as it is not felt where two curves meet. */
const SLIGHT_TURN = Math.PI / 18;
/** What turns within so little is a corner to the hand, which stops there; and rounding to 0.001 mm bends it. */
const CORNER_MM = 0.05;

/** What is wrong with a made stencil, by its own report and by measure: a line each, with the place. */
export function faults({ files, run, job }: Made): string[] {
  const svg = files.get('stencil.svg');
  if (typeof svg !== 'string') throw new Error('There is no stencil.svg');
  const broken = brokenPromises(drawStencil(svg), run.values.read.sheet, job);
  return [
    ...errorsOf(run).map(({ code, message, at }) => {
      return `report: ${code}: ${message} ${at ? inMm(at[0], at[1]) : ''}`;
    }),
    ...broken.map(({ code, says }) => `measured: ${code}: ${says}`),
  ];
}

/** The findings that say that a promise is broken. */
export function errorsOf({
  values,
}: {
  readonly values: Pick<Made['run']['values'], 'check'>;
}): readonly Finding[] {
  return values.check.findings.filter(({ level }) => level === 'error');
}

/** Draws a stencil.svg at the size that it says it has. */
export function drawStencil(svg: string): Drawing {
  const { pixels, width, height } = svgPicture(svg, { dpi: PIXELS_PER_MM * MM_PER_INCH }).render();
  const data = new Uint8Array(width * height);
  for (let y = 1; y < height - 1; y++) {
    // The sheet's edge is drawn on the outermost pixels.
    for (let x = 1; x < width - 1; x++) {
      const i = y * width + x;
      data[i] = pixels[4 * i + 3] >= 128 ? 1 : 0;
    }
  }
  return { bitmap: { width, height, data }, curves: curvesOf(svg) };
}

/** Every place at which a drawn stencil breaks a promise; none when it is good. */
export function brokenPromises(drawing: Drawing, sheet: Sheet, limits: Limits): Broken[] {
  const { bitmap, curves } = drawing;
  return [
    ...wrongSize(bitmap, sheet),
    ...looseIslands(bitmap),
    ...weakHolds(bitmap, limits),
    ...uncuttable(bitmap, limits),
    ...tightTurns(curves, limits),
    ...inMargin(bitmap, limits),
  ];
}

function wrongSize({ width, height }: Bitmap, { widthMm, heightMm }: Sheet): Broken[] {
  const off = Math.max(
    Math.abs(width - widthMm * PIXELS_PER_MM),
    Math.abs(height - heightMm * PIXELS_PER_MM),
  );
  if (off <= SIZE_TOLERANCE_PX) return [];
  const measured = `${width / PIXELS_PER_MM} × ${height / PIXELS_PER_MM} mm`;
  return [{ code: 'wrong-size', says: `The sheet measures ${measured}` }];
}

/** Promise 1. */
function looseIslands(bitmap: Bitmap): Broken[] {
  const film = inverse(bitmap);
  const { labels, areas } = components(film, 4);
  const byCorners = components(film, 8).labels;
  const isTip = (label: number, first: number): boolean =>
    areas[label] < TIP_MM2 * PIXELS_PER_MM ** 2 && byCorners[first] === byCorners[0];
  return places(labels, bitmap)
    .filter(({ label, first }) => label !== labels[0] && !isTip(label, first))
    .map(({ label, at }) => ({
      code: 'loose-island',
      says: `Film of ${inMm2(areas[label])} held by nothing at ${at}`,
    }));
}

/**
 * Promise 2: the film is one region still when it is eroded by just under half its narrowest strip, from the openings and
 * from the sheet's edge. All of it hangs on the frame along that edge.
 */
function weakHolds(bitmap: Bitmap, { narrowestStrip }: Limits): Broken[] {
  const film = distancesInSheet(inverse(bitmap));
  const cores = components(above(film, bitmap, coreRadius(narrowestStrip)), 8);
  const joined = components(above(film, bitmap, coreRadius(narrowestStrip) - GRID_PX), 8).labels;
  const rim = Math.ceil(coreRadius(narrowestStrip));
  const frame = joined[rim * bitmap.width + rim];
  const weak = places(cores.labels, bitmap)
    .filter(({ first }) => frame === 0 || joined[first] !== frame)
    .map(({ label, at }): Broken => {
      const core = inMm2(cores.areas[label]);
      const says = `Film held by less than ${narrowestStrip} mm at ${at}, its core ${core}`;
      return { code: 'weak-hold', says };
    });
  if (frame !== 0) return weak;
  return [{ code: 'weak-hold', says: `The frame is narrower than ${narrowestStrip} mm` }, ...weak];
}

/** Distances to the nearest 0, or to the sheet's edge, beyond which there is nothing. */
function distancesInSheet({ width, height, data }: Bitmap): Float32Array {
  const wide = width + 2;
  const ringed = new Uint8Array(wide * (height + 2));
  for (let y = 0; y < height; y++) {
    ringed.set(data.subarray(y * width, (y + 1) * width), (y + 1) * wide + 1);
  }
  const distances = distancesToZero({ width: wide, height: height + 2, data: ringed });
  const inside = new Float32Array(width * height);
  for (let y = 0; y < height; y++) {
    inside.set(distances.subarray((y + 1) * wide + 1, (y + 1) * wide + 1 + width), y * width);
  }
  return inside;
}

/** Promise 3, openings: none too small, none too narrow, none that squeezes through a neck. */
function uncuttable(bitmap: Bitmap, { narrowestOpening, smallestOpening }: Limits): Broken[] {
  const openings = components(bitmap, 8);
  const distances = distancesToZero(bitmap);
  const cores = components(above(distances, bitmap, coreRadius(narrowestOpening)), 8);
  const joined = components(
    above(distances, bitmap, coreRadius(narrowestOpening) - GRID_PX),
    8,
  ).labels;
  const hasCore = new Uint8Array(openings.count + 1);
  const rooms = Array.from({ length: openings.count + 1 }, () => new Set<number>());
  for (const { label, first } of places(cores.labels, bitmap)) {
    const opening = openings.labels[first];
    hasCore[opening] = 1;
    if (cores.areas[label] >= ROOM_MM2 * PIXELS_PER_MM ** 2) rooms[opening].add(joined[first]);
  }
  const least = (1 - AREA_TOLERANCE) * smallestOpening * PIXELS_PER_MM ** 2;
  return places(openings.labels, bitmap).flatMap(({ label, at }): Broken[] => {
    const area = openings.areas[label];
    // A crumb smaller than a tip is what a neck, or the point of an opening, breaks up into.
    if (area < TIP_MM2 * PIXELS_PER_MM ** 2) return [];
    const broken: Broken[] = [];
    if (area < least) {
      broken.push({ code: 'small-opening', says: `Opening of ${inMm2(area)} at ${at}` });
    }
    if (hasCore[label] === 0) {
      broken.push({ code: 'narrow-opening', says: `Opening narrow all over at ${at}` });
    } else if (rooms[label].size > 1) {
      const says = `Opening with a neck at ${at}, ${rooms[label].size} rooms`;
      broken.push({ code: 'narrow-opening', says });
    }
    return broken;
  });
}

/** Promise 3, turns: a corner between two curves is a stop; along a curve nothing may be too tight. */
function tightTurns(curves: readonly Curve[], limits: Limits): Broken[] {
  if (limits.tightestTurn === 0) return [];
  const least = (1 - TURN_TOLERANCE) * limits.tightestTurn;
  return curves.flatMap((curve): Broken[] => {
    const { lengthMm, turn, radiusMm, x, y } = tightPart(curve, least);
    if (lengthMm < CORNER_MM || turn < SLIGHT_TURN) return [];
    const degrees = ((180 / Math.PI) * turn).toFixed(0);
    return [
      {
        code: 'tight-turn',
        says: `Turn by ${degrees}° on a radius of ${radiusMm.toFixed(2)} mm at ${inMm(x, y)}`,
      },
    ];
  });
}

/** Promise 4. */
function inMargin(bitmap: Bitmap, { margin }: Limits): Broken[] {
  const { width, height, data } = bitmap;
  const least = (margin - MARGIN_TOLERANCE_MM) * PIXELS_PER_MM;
  for (let i = 0; i < data.length; i++) {
    if (data[i] === 0) continue;
    const x = (i % width) + 0.5;
    const y = Math.floor(i / width) + 0.5;
    if (Math.min(x, y, width - x, height - y) >= least) continue;
    return [{ code: 'in-margin', says: `Opening in the margin at ${placeOf(i, bitmap)}` }];
  }
  return [];
}

/** Just under half a width, in px. */
function coreRadius(widthMm: number): number {
  return (widthMm / 2 - JUST_UNDER_MM) * PIXELS_PER_MM;
}

/** Each region's first pixel from the top left. */
function places(
  labels: Int32Array,
  bitmap: Bitmap,
): { readonly label: number; readonly first: number; readonly at: string }[] {
  const first: number[] = [];
  for (let i = 0; i < labels.length; i++) first[labels[i]] ??= i;
  return first.flatMap((i, label) =>
    label === 0 ? [] : [{ label, first: i, at: placeOf(i, bitmap) }],
  );
}

function placeOf(i: number, { width }: Bitmap): string {
  return inMm((i % width) / PIXELS_PER_MM, Math.floor(i / width) / PIXELS_PER_MM);
}

const inMm = (x: number, y: number): string => `(${x.toFixed(1)}, ${y.toFixed(1)}) mm`;
const inMm2 = (pixels: number): string => `${(pixels / PIXELS_PER_MM ** 2).toFixed(2)} mm²`;
