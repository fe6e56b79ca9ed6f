import type { Sheet } from '../../settings/card.js';
import type { Point } from '../../geometry/shape.js';
import type { Job } from '../../settings/job.js';
import { countOpening } from '../../raster/count.js';
import { furtherThan } from '../../raster/distance.js';
import type { Saliency } from '../../raster/saliency.js';
import { findRegions, labelRegions } from '../../raster/labels.js';
import type { Bitmap } from '../../raster/raster.js';

/**
 * The film of a whole sheet, and its cores: the connected components of the eroded film, each wide enough to hold something.
 */
export interface ErodedFilm {
  readonly bitmap: Bitmap;
  readonly pixelsPerMm: number;
  /** By pixel: the number of its core, 1 to `count`; 0 where the film is too thin, and in openings. */
  readonly cores: Int32Array;
  readonly count: number;
  /** By core: its pixels, and the left, top, right and bottom pixel of the box round it. */
  readonly areas: Int32Array;
  readonly bounds: Int32Array;
  /** Pixels of opening. */
  readonly opening: number;
  /** How much each place of the picture matters; all alike when it is not given. */
  readonly saliency: Saliency | undefined;
}

/**
 * How far round a place a core is looked for, in px: what easing moves an edge by (0.225 mm) and rounding to pixels.
 */
const NEAR_PX = 3;

/** The number of the core at a place in mm, or of one within a few pixels of it; 0 where there is none. */
export function coreAt({ bitmap, pixelsPerMm, cores }: ErodedFilm, { x, y }: Point): number {
  const { width, height } = bitmap;
  const [column, row] = [Math.floor(x * pixelsPerMm), Math.floor(y * pixelsPerMm)];
  for (let ring = 0; ring <= NEAR_PX; ring++) {
    for (let v = Math.max(0, row - ring); v <= Math.min(height - 1, row + ring); v++) {
      for (let u = Math.max(0, column - ring); u <= Math.min(width - 1, column + ring); u++) {
        const core = cores[v * width + u];
        if (core !== 0) return core;
      }
    }
  }
  return 0;
}

/** What a size in mm times pixels a mm may be off by in binary, in px: no pixel more for that. */
const ROUNDING_PX = 1e-6;

/** The size of a sheet's bitmap in px. */
export function bitmapSize(sheet: Sheet, pixelsPerMm: number): { width: number; height: number } {
  return {
    width: Math.ceil(sheet.widthMm * pixelsPerMm - ROUNDING_PX),
    height: Math.ceil(sheet.heightMm * pixelsPerMm - ROUNDING_PX),
  };
}

/** What is taken off half a width before eroding by it: rounding to pixels, but less than the check allows for. */
const SLACK_MM = 0.05;

/** The radius in mm that something of the given width is eroded by to see that it is that wide. */
export function coreRadiusMm(widthMm: number): number {
  return 0.5 * widthMm - SLACK_MM;
}

/** A swelling of a thin tongue that is within so much of holding counts as a core too: it must not hang by less. */
const SWELLING_MM = 0.05;

/**
 * Finds the cores: film further from any opening than just under half the narrowest strip, and swellings that nearly
 * are. They are 8-connected: where two of their pixels touch by a corner, the film round both is wide enough.
 * Beyond the sheet's edge there is no film.
 */
export function erodeFilm(
  bitmap: Bitmap,
  pixelsPerMm: number,
  { narrowestStrip }: Pick<Job, 'narrowestStrip'>,
  saliency?: Saliency,
): ErodedFilm {
  const { width, height } = bitmap;
  const radius = coreRadiusMm(narrowestStrip) * pixelsPerMm;
  const swelling = radius - SWELLING_MM * pixelsPerMm;
  const [wide, near] = furtherThan(bitmap, 1, [limitOf(radius), limitOf(swelling)]);
  clearRim(wide, width, height, radius);
  clearRim(near, width, height, swelling);
  addSwellings({ width, height, data: wide }, near);
  const { labels, ...regions } = labelRegions({ width, height, data: wide }, 1, 8);
  const { count, areas, bounds } = regions;
  const opening = countOpening(bitmap);
  return { bitmap, pixelsPerMm, cores: labels, count, areas, bounds, opening, saliency };
}

/** Squared distances are whole numbers; a radius that rounding left just short of one must not let it through. */
const ROUNDING = 1e-6;

function limitOf(radius: number): number {
  return radius * radius + ROUNDING;
}

/** Adds the regions of what is nearly wide enough that hold no core yet. Writes to the cores. */
function addSwellings(cores: Bitmap, near: Uint8Array): void {
  const { width, height } = cores;
  const { starts, ends, numbers, count } = findRegions({ width, height, data: near }, 1, 8);
  const holdsCore = new Uint8Array(count + 1);
  for (let run = 0; run < starts.length; run++) {
    if (holdsCore[numbers[run]] === 1) continue;
    const core = cores.data.indexOf(1, starts[run]);
    if (core >= 0 && core < ends[run]) holdsCore[numbers[run]] = 1;
  }
  for (let run = 0; run < starts.length; run++) {
    if (holdsCore[numbers[run]] === 0) cores.data.fill(1, starts[run], ends[run]);
  }
}

/** Takes off what lies no further than a radius from the first pixels beyond the sheet's edge. Writes to `wide`. */
function clearRim(wide: Uint8Array, width: number, height: number, radius: number): void {
  const rim = rimPx(radius);
  wide.fill(0, 0, rim * width);
  wide.fill(0, Math.max(0, height - rim) * width);
  for (let y = 0; y < height; y++) {
    wide.fill(0, y * width, y * width + rim);
    wide.fill(0, (y + 1) * width - rim, (y + 1) * width);
  }
}

const rimPx = (radius: number): number => Math.floor(Math.sqrt(limitOf(radius)));

/** The number of the core of the film along the sheet's edge; 0 where that is too thin to have one, as round a mask. */
export function frameCore(
  { bitmap, cores, pixelsPerMm }: ErodedFilm,
  { narrowestStrip }: Pick<Job, 'narrowestStrip'>,
): number {
  const rim = rimPx(coreRadiusMm(narrowestStrip) * pixelsPerMm);
  return cores[rim * bitmap.width + rim];
}
