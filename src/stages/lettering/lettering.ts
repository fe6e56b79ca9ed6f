import { findNecks, WIDTH_TOLERANCE_MM, type Neck } from '../../geometry/necks.js';
import { shapeFinder } from '../../geometry/point-location.js';
import { translated } from '../../geometry/placed.js';
import { rasterise } from '../../geometry/rasterise.js';
import type { Shape } from '../../geometry/shape.js';
import type { Place } from '../../settings/edits.js';
import { labelRegions, regionsAlone } from '../../raster/labels.js';
import type { Bitmap } from '../../raster/raster.js';
import type { Job } from '../../settings/job.js';
import type { Picture } from '../read/read.js';
import type { Widened } from '../widen/widen.js';

/** Drawn openings parted: those that can be cut as they are, and what has to be redrawn for the widths. */
export interface Lettering {
  /** As they were drawn. */
  readonly kept: readonly Shape[];
  /** What is traced in place of the others; undefined where all can stay. */
  readonly redrawn: Bitmap | undefined;
  /** All of them drawn, and what was left out. */
  readonly widened: Widened;
}

type LetteringJob = Pick<Job, 'narrowestStrip' | 'narrowestOpening' | 'regionEdits'>;

/** What the stage `widen` does; the pipeline hands it in. */
interface WidthKeeping {
  /** Keeps the widths of a drawing, with film of at least so many mm. */
  readonly widen: (bitmap: Bitmap, narrowestStrip: number) => Widened;
  /** A drawing as it is, in the form that `widen` returns. */
  readonly unwidened: (bitmap: Bitmap) => Widened;
}

/**
 * Keeps the widths of openings that were drawn as outlines. One that is nowhere too narrow stays as it was drawn: its
 * straight stems straight, its circles round. What is too narrow somewhere, and what the widening of such a part
 * reaches, is widened as a picture's openings are, to be traced anew.
 *
 * Where the film between a letter's strokes would be filled by that, as the mouth of an e is, the letter is widened with
 * less regard for film: what has to hold is held by bridges then.
 *
 * @param widths how the widths of the drawing of all of them are kept, or told where nothing has to be widened
 */
export function letter(
  shapes: readonly Shape[],
  { sheet, pixelsPerMm }: Pick<Picture, 'sheet' | 'pixelsPerMm'>,
  size: { readonly width: number; readonly height: number },
  job: LetteringJob,
  widths: WidthKeeping,
): Lettering {
  const drawn = rasterise(shapes, size.width, size.height, pixelsPerMm);
  const limits = { film: job.narrowestStrip, opening: job.narrowestOpening };
  const places = [
    ...findNecks(shapes, sheet, limits)
      .filter(({ region, widthMm }) => widthMm < limits[region] - WIDTH_TOLERANCE_MM)
      .flatMap(besideNeck),
    ...job.regionEdits.map(({ at }) => at),
  ];
  const find = shapeFinder(shapes);
  const narrow = new Set(places.map(([x, y]) => find(x, y)).filter((number) => number >= 0));
  const isEdited = job.regionEdits.length > 0;
  if (narrow.size === 0 && !isEdited)
    return { kept: shapes, redrawn: undefined, widened: widths.unwidened(drawn) };
  const widened = withOpenMouths(shapes, drawn, job, pixelsPerMm, widths.widen);
  if (isEdited) for (const number of shapes.keys()) narrow.add(number);
  return parted(shapes, narrow, drawn, widened, size, pixelsPerMm);
}

/** Places in the openings that a neck lies in or between. */
function besideNeck({ region, from, to }: Neck): readonly Place[] {
  const [x, y] = [(from.x + to.x) / 2, (from.y + to.y) / 2];
  if (region === 'opening') return [[x, y]];
  const length = Math.hypot(to.x - from.x, to.y - from.y) || 1;
  const [dx, dy] = [((to.x - from.x) / length) * INSIDE_MM, ((to.y - from.y) / length) * INSIDE_MM];
  return [
    [from.x - dx, from.y - dy],
    [to.x + dx, to.y + dy],
  ];
}

/** So far beyond a film's edge, in mm, lies the opening: further than samples of the edge lie off it. */
const INSIDE_MM = 0.1;

/** Less regard for film: so much of the narrowest strip is kept. */
const LITTLE_FILM = 0.4;
/** Film that is so far from any stroke, in mm, is more than what a stroke grows by … */
const BEYOND_MM = 0.2;
/** … and so much of it that is filled, in mm², was a part of the letter. */
const FILLED_MM2 = 0.25;

/** The widened drawing, with letters whose film it fills widened anew. */
function withOpenMouths(
  shapes: readonly Shape[],
  drawn: Bitmap,
  { narrowestStrip }: LetteringJob,
  pixelsPerMm: number,
  widen: WidthKeeping['widen'],
): Widened {
  const first = widen(drawn, narrowestStrip);
  const { width, height } = drawn;
  const found = labelRegions(first.bitmap, 1, 8);
  const filled = new Float64Array(found.count + 1);
  const reach = Math.round(BEYOND_MM * pixelsPerMm);
  found.labels.forEach((label, i) => {
    if (label > 0 && drawn.data[i] === 0 && isBare(drawn, i, reach)) filled[label]++;
  });
  const most = FILLED_MM2 * pixelsPerMm ** 2;
  if (filled.every((count) => count <= most)) return first;
  const other = widen(drawn, LITTLE_FILM * narrowestStrip).bitmap;
  const instead = labelRegions(other, 1, 8);
  const [without, within] = [new Uint8Array(found.count + 1), new Uint8Array(instead.count + 1)];
  for (const shape of shapes) {
    const pixels = pixelsOf(shape, width, height, pixelsPerMm);
    const isFilled = pixels.some((i) => filled[found.labels[i]] > most);
    for (const i of pixels) {
      if (!isFilled) continue;
      without[found.labels[i]] = 1;
      within[instead.labels[i]] = 1;
    }
  }
  [without[0], within[0]] = [0, 0];
  const data = first.bitmap.data.map((value, i) =>
    value === 1 && without[found.labels[i]] === 0 ? 1 : within[instead.labels[i]],
  );
  return { ...first, bitmap: { width, height, data } };
}

/** Whether no pixel about one is opening. */
function isBare({ width, height, data }: Bitmap, i: number, reach: number): boolean {
  const [x, y] = [i % width, Math.floor(i / width)];
  for (let row = Math.max(0, y - reach); row <= Math.min(height - 1, y + reach); row++) {
    for (let at = Math.max(0, x - reach); at <= Math.min(width - 1, x + reach); at++) {
      if (data[row * width + at] === 1) return false;
    }
  }
  return true;
}

/** Takes the regions of the widened drawing that narrow shapes have become, with all that became one with them. */
function parted(
  shapes: readonly Shape[],
  narrow: Set<number>,
  drawn: Bitmap,
  widened: Widened,
  { width, height }: { readonly width: number; readonly height: number },
  pixelsPerMm: number,
): Lettering {
  const regions = labelRegions(widened.bitmap, 1, 8);
  const pixels = shapes.map((shape) => pixelsOf(shape, width, height, pixelsPerMm));
  const regionsOf = pixels.map((own) => {
    const found = new Set<number>();
    for (const i of own) found.add(regions.labels[i]);
    return found;
  });
  const taken = new Set<number>();
  for (let before = -1; before !== narrow.size;) {
    before = narrow.size;
    for (const number of narrow) for (const label of regionsOf[number]) taken.add(label);
    regionsOf.forEach((labelsHere, number) => {
      if ([...labelsHere].some((label) => label > 0 && taken.has(label))) narrow.add(number);
    });
  }
  taken.delete(0);
  const redrawn = regionsAlone(regions, { width, height }, taken);
  const data = drawn.data.slice();
  for (const number of narrow) for (const i of pixels[number]) data[i] = 0;
  for (let i = 0; i < data.length; i++) data[i] |= redrawn.data[i];
  return {
    kept: shapes.filter((_, number) => !narrow.has(number)),
    redrawn,
    widened: { ...widened, bitmap: { width, height, data } },
  };
}

/** The pixels of a shape: it is drawn by itself, on no more of the sheet than it takes. */
function pixelsOf(shape: Shape, width: number, height: number, pixelsPerMm: number): Int32Array {
  const { coords } = shape.outer;
  const box = { left: width, top: height, right: 0, bottom: 0 };
  for (let i = 0; i < coords.length; i += 2) {
    const [x, y] = [coords[i] * pixelsPerMm, coords[i + 1] * pixelsPerMm];
    box.left = Math.min(box.left, Math.max(0, Math.floor(x)));
    box.top = Math.min(box.top, Math.max(0, Math.floor(y)));
    box.right = Math.max(box.right, Math.min(width, Math.ceil(x)));
    box.bottom = Math.max(box.bottom, Math.min(height, Math.ceil(y)));
  }
  const { left, top } = box;
  const moved = translated(shape, { x: -left / pixelsPerMm, y: -top / pixelsPerMm });
  const across = Math.max(1, box.right - left);
  const { data } = rasterise([moved], across, Math.max(1, box.bottom - top), pixelsPerMm);
  let count = 0;
  for (const value of data) count += value;
  const found = new Int32Array(count);
  for (let i = 0, at = 0; i < data.length; i++) {
    if (data[i] === 1) found[at++] = (top + Math.floor(i / across)) * width + left + (i % across);
  }
  return found;
}
