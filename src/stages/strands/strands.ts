import type { Job } from '../../settings/job.js';
import { lightLines } from '../../raster/light-lines.js';
import { stepsRound } from '../../raster/neighbours.js';
import type { Bitmap } from '../../raster/raster.js';
import { stampDisc } from '../../raster/stamp.js';
import { narrowBranches, type NarrowBranch } from '../../raster/narrow-branches.js';
import type { Picture } from '../read/read.js';
import type { Tone } from '../tone/tone.js';

type StrandSettings = Pick<Job, 'strands' | 'strandGap' | 'narrowestStrip' | 'margin'>;

/** A light line is this many times as long as a strip is wide, or it is a speck or a drop. */
const SHORTEST = 2;
/**
 * The way on is the line's own, over so many widths of a strip before its end: less is the end's own raggedness, more
 * an earlier bend.
 */
const LOOK_BACK = 1.2;

/**
 * Lets strands pass over and under: thin light lines between two dark parts, which say what lies in front, become
 * lines of film that run on as they do in the drawing. `widen` then makes them as wide as a strip.
 *
 * Lines that the tone has lost are found in the picture again; and a line that ends in an opening, less than
 * `strandGap` short of film, is carried on along its own direction.
 */
export function strands<T extends Pick<Tone, 'bitmap' | 'mode'>>(
  tone: T,
  { gray, pictureBox, pixelsPerMm }: Pick<Picture, 'gray' | 'pictureBox' | 'pixelsPerMm'>,
  job: StrandSettings,
): T {
  const isDrawing = tone.mode === 'auto' || tone.mode === 'level';
  if (job.strands === 'never' || (job.strands === 'drawings' && !isDrawing)) return tone;
  const stripPx = job.narrowestStrip * pixelsPerMm;
  const { bitmap } = tone;
  const data = bitmap.data.slice();
  const drawn = { ...bitmap, data };
  const lost = lightLines(gray, bitmap, pictureBox, stripPx / 2, SHORTEST * stripPx).data;
  for (let i = lost.indexOf(1); i >= 0; i = lost.indexOf(1, i + 1)) data[i] = 0;
  // A line that was lost is found only where there is dark on both sides: its ends lie further back.
  const back = lost.includes(1) ? stripPx : 0;
  carryOn(drawn, stripPx, job.strandGap * pixelsPerMm + back, job.margin * pixelsPerMm);
  return { ...tone, bitmap: drawn };
}

/** Draws every thin line of film on from its ends to the film beyond, where that is near. Writes to the bitmap. */
function carryOn(bitmap: Bitmap, stripPx: number, gapPx: number, marginPx: number): void {
  const { width, height, data } = bitmap;
  const margin = Math.ceil(marginPx);
  const all = { x: 0, y: 0, width, height };
  const inside = { x: margin, y: margin, width: width - 2 * margin, height: height - 2 * margin };
  const places = narrowBranches(bitmap, 0, stripPx / 2, inside, all);
  const ways = places
    .filter((place) => place.pixels.length >= SHORTEST * stripPx)
    .flatMap((place) => endsOf(place, bitmap, LOOK_BACK * stripPx));
  for (const end of ways) {
    const tip = atTip(bitmap, end, stripPx);
    const way = tip && shortestWay(bitmap, tip, gapPx);
    for (let k = 0; way && k <= way.reach; k++) {
      const { x, y, dx, dy } = way;
      stampDisc(data, width, height, x + k * dx, y + k * dy, stripPx / 2, 0);
    }
  }
}

/** A line may bend a little on its way on, in radians (up to 23°): the straight way is tried first. */
const BENDS = [0, 0.2, -0.2, 0.4, -0.4];

/** The way on from a line's tip to the film; one that bends only where it is much shorter. */
function shortestWay(
  bitmap: Bitmap,
  end: End,
  gapPx: number,
): (End & { reach: number }) | undefined {
  let best: (End & { reach: number }) | undefined;
  let least = Infinity;
  for (const bend of BENDS) {
    const [cos, sin] = [Math.cos(bend), Math.sin(bend)];
    const way = { ...end, dx: end.dx * cos - end.dy * sin, dy: end.dx * sin + end.dy * cos };
    const reach = wayToFilm(bitmap, way, gapPx);
    if (reach === undefined || reach * (1 + Math.abs(bend)) >= least) continue;
    least = reach * (1 + Math.abs(bend));
    best = { ...way, reach };
  }
  return best;
}

/** An end of a line: where, which way the line runs on, and half its width there, in px. */
interface End {
  readonly x: number;
  readonly y: number;
  readonly dx: number;
  readonly dy: number;
  readonly halfWidth: number;
  /** The pixels of the line itself. */
  readonly own: ReadonlySet<number>;
}

/** A line that gets no further than a third of the way asked for is a dot or a loop: it runs on nowhere. By eye. */
const LEAST_PART = 3;

/**
 * A line that has become narrower by this share of its way, in half widths, is no strand's edge, which is as wide to its end,
 * but what is left between two dark lines that meet: nothing passes over them. Edges as drawn have up to 0.02, the film in a
 * doubled outline 0.045 and more.
 */
const TAPER = 0.03;
/** How far back that is looked at, in ways of `LOOK_BACK`; from the first of them on, for the tip's own raggedness. */
const TAPER_LOOK = 3;

/** The ends of a line's middle; at some of them it may run into wide film. */
function endsOf(
  { pixels, halfWidths, region }: NarrowBranch,
  { width }: Bitmap,
  backPx: number,
): End[] {
  const own = new Set(region ?? pixels);
  const number = new Map<number, number>();
  pixels.forEach((pixel, k) => number.set(pixel, k));
  const steps = stepsRound(width);
  const nextTo = (pixel: number): number[] =>
    steps.map((step) => pixel + step).filter((other) => number.has(other));
  const ends: End[] = [];
  for (const [pixel, k] of number) {
    if (!isTip(nextTo(pixel), width)) continue;
    const back = walkBack(pixel, nextTo, width, backPx);
    const [x, y] = [pixel % width, Math.floor(pixel / width)];
    const [bx, by] = [back % width, Math.floor(back / width)];
    const length = Math.hypot(x - bx, y - by);
    if (length < backPx / LEAST_PART) continue;
    const far = walkBack(pixel, nextTo, width, TAPER_LOOK * backPx);
    const narrows = halfWidths[number.get(far)!] - halfWidths[number.get(back)!];
    if (narrows > TAPER * (TAPER_LOOK - 1) * backPx) continue;
    ends.push({
      x,
      y,
      dx: (x - bx) / length,
      dy: (y - by) / length,
      halfWidth: halfWidths[k],
      own,
    });
  }
  return ends;
}

/** A line's last pixel has one neighbour, or two that are side by side. */
function isTip(neighbours: readonly number[], width: number): boolean {
  if (neighbours.length === 1) return true;
  if (neighbours.length !== 2) return false;
  const apart = Math.abs(neighbours[0] - neighbours[1]);
  return apart === 1 || apart === width;
}

/** The pixel of the line that lies so far back from its end. */
function walkBack(
  tip: number,
  nextTo: (pixel: number) => number[],
  width: number,
  backPx: number,
): number {
  const seen = new Set([tip]);
  const row = [tip];
  for (const pixel of row) {
    const dx = (pixel % width) - (tip % width);
    const dy = Math.floor(pixel / width) - Math.floor(tip / width);
    if (Math.hypot(dx, dy) >= backPx) return pixel;
    for (const other of nextTo(pixel)) {
      if (seen.has(other)) continue;
      seen.add(other);
      row.push(other);
    }
  }
  return row[row.length - 1];
}

/** A line's middle may end so many widths of a strip before its tip: thinning eats a thin line that runs slanting. */
const TIP = 2.5;

/**
 * The end of a line moved on from the end of its middle to its tip: the furthest film ahead that hangs together with it.
 * Undefined where that is no tip but wide film, which the line runs into.
 */
function atTip({ width, data }: Bitmap, end: End, stripPx: number): End | undefined {
  const steps = stepsRound(width);
  const start = end.y * width + end.x;
  const seen = new Set([start]);
  let tip = start;
  let furthest = 0;
  for (const i of seen) {
    const [dx, dy] = [(i % width) - end.x, Math.floor(i / width) - end.y];
    const ahead = dx * end.dx + dy * end.dy;
    if (ahead < 0 || ahead > TIP * stripPx) continue;
    if (Math.abs(dx * end.dy - dy * end.dx) > stripPx) return undefined;
    if (ahead > furthest) {
      furthest = ahead;
      tip = i;
    }
    for (const step of steps) if (data[i + step] === 0) seen.add(i + step);
  }
  const [x, y] = [tip % width, Math.floor(tip / width)];
  const far = Math.hypot(x - end.x, y - end.y);
  if (far < stripPx / 2) return { ...end, x, y };
  return { ...end, x, y, dx: (x - end.x) / far, dy: (y - end.y) / far };
}

/** How far it is, in px, from a line's tip to the film beyond; undefined when that is no film near enough. */
function wayToFilm(
  { width, height, data }: Bitmap,
  { x, y, dx, dy, halfWidth, own }: End,
  gapPx: number,
): number | undefined {
  let left: number | undefined;
  for (let k = 0; k <= (left ?? halfWidth) + gapPx; k++) {
    const column = Math.round(x + k * dx);
    const row = Math.round(y + k * dy);
    if (column < 0 || row < 0 || column >= width || row >= height) return undefined;
    const pixel = row * width + column;
    if (data[pixel] === 1) left ??= k;
    else if (own.has(pixel)) left = undefined;
    else if (left !== undefined) return k - left <= gapPx ? k : undefined;
  }
  return undefined;
}
