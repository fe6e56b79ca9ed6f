import type { Neck } from '../../geometry/necks.js';
import type { Point } from '../../geometry/shape.js';
import type { Job } from '../../settings/job.js';
import { regionOf, type RegionRuns } from '../../raster/labels.js';
import { nearestPair } from '../../raster/nearest-pair.js';
import { shortestPathThrough } from '../../raster/shortest-path.js';
import type { ErodedFilm } from './eroded-film.js';
import { openingCoresOf } from './opening-cores.js';
import { tieBetween, type Tie, type TieLimits } from './tie.js';

/**
 * Scraps of opening under this area, in mm² (five pixels of the raster), come from drawing in pixels, not from a cut:
 * they are left alone.
 */
const RASTER_SCRAP_MM2 = 0.05;
/**
 * A strip over a scrap is so much larger on each side, in mm: nothing of it stays open, whatever rounding to pixels
 * hid.
 */
const OVER_MM = 0.3;

/**
 * Strips of film over the places where an opening is too narrow to be cut, once all bridges are laid: across a neck
 * between two rooms, and over a scrap that has no room at all. An opening that is closed there is two that can be
 * cut. More film never parts what holds.
 */
export function squeezes(film: ErodedFilm, limits: TieLimits): Tie[] {
  const { bitmap, pixelsPerMm } = film;
  const { openings, cores, rooms } = openingCoresOf(bitmap, pixelsPerMm, limits);
  const held = new Uint8Array(openings.count + 1);
  for (let core = 1; core <= cores.count; core++) held[regionOf(openings, cores.first[core])] = 1;
  const ties: Tie[] = [];
  for (let opening = 1; opening <= openings.count; opening++) {
    if (rooms[opening].length > 1) {
      ties.push(acrossNeck(film, cores, rooms[opening], limits));
    }
    const isScrap =
      held[opening] === 0 && openings.areas[opening] >= RASTER_SCRAP_MM2 * pixelsPerMm ** 2;
    if (isScrap) ties.push(overScrap(film, openings, opening, limits));
  }
  return ties.filter(({ start, end }) => start.x !== end.x || start.y !== end.y);
}

/** A strip along a film's neck reaches so far beyond it either way, as a share of its width, and is so much wider. */
const ALONG_NECK = 1.2;
const WIDER_MM = 0.2;

/**
 * A strip over a neck that is too narrow: across an opening's, and along a film's, to make it wider. None over an
 * opening that is narrow all over.
 */
export function overNeck(film: ErodedFilm, neck: Neck, limits: TieLimits): Tie[] {
  const { region, allOver, from, to } = neck;
  const length = Math.hypot(to.x - from.x, to.y - from.y);
  if (allOver || length === 0) return [];
  const { bridgeWidth, narrowestStrip } = limits;
  if (region === 'opening') {
    return holding({ ...tieBetween(film, from, to, bridgeWidth, 'proposed', limits), plain: true });
  }
  const reach = (ALONG_NECK * narrowestStrip) / length;
  const [x, y] = [(from.x + to.x) / 2, (from.y + to.y) / 2];
  const [dx, dy] = [reach * (to.y - from.y), reach * (from.x - to.x)];
  const [start, end] = [
    { x: x - dx, y: y - dy },
    { x: x + dx, y: y + dy },
  ];
  const tie = tieBetween(film, start, end, narrowestStrip + WIDER_MM, 'proposed', limits);
  return holding({ ...tie, plain: true, followsNeck: true });
}

function holding(tie: Tie): Tie[] {
  return tie.start.x === tie.end.x && tie.start.y === tie.end.y ? [] : [tie];
}

/**
 * Over so many steps of the way through the pixels, before and after, its direction is taken: a single step only knows
 * eight.
 */
const STEPS = 4;

/** A strip square to the way from an opening's smallest room to the next one, midway. */
function acrossNeck(
  film: ErodedFilm,
  cores: RegionRuns,
  rooms: readonly number[],
  limits: TieLimits,
): Tie {
  const { pixelsPerMm, bitmap } = film;
  const smallest = rooms.reduce((a, b) => (cores.areas[b] < cores.areas[a] ? b : a));
  const others = rooms.filter((room) => room !== smallest);
  const middleOf = (x: number, y: number): Point => ({ x: x + 0.5, y: y + 0.5 });
  let [p, q] = nearestPair(cores, bitmap.width, smallest, others).map(({ x, y }) => middleOf(x, y));
  let middle = { x: (p.x + q.x) / 2, y: (p.y + q.y) / 2 };
  if (!isOpen(film, middle.x, middle.y)) {
    // The rooms lie round a bend.
    const way = shortestPathThrough(bitmap, cores, smallest, others);
    const half = way.length >> 1;
    [p, middle, q] = [Math.max(0, half - STEPS), half, Math.min(way.length - 1, half + STEPS)].map(
      (i) => middleOf(way[i] % bitmap.width, Math.floor(way[i] / bitmap.width)),
    );
  }
  const length = Math.hypot(q.x - p.x, q.y - p.y) || 1;
  const [acrossX, acrossY] = [(p.y - q.y) / length, (q.x - p.x) / length];
  const end = (way: number): Point => {
    const at = (off: number): readonly [number, number] => [
      middle.x + way * off * acrossX,
      middle.y + way * off * acrossY,
    ];
    const furthest = bitmap.width + bitmap.height;
    let off = 0;
    while (off < furthest && isOpen(film, ...at(off))) off += 0.5;
    const [x, y] = at(off);
    return { x: x / pixelsPerMm, y: y / pixelsPerMm };
  };
  const { bridgeWidth } = limits;
  return { ...tieBetween(film, end(-1), end(1), bridgeWidth, 'proposed', limits), plain: true };
}

function isOpen({ bitmap: { width, height, data } }: ErodedFilm, x: number, y: number): boolean {
  if (x < 0 || y < 0 || x >= width || y >= height) return false;
  return data[Math.floor(y) * width + Math.floor(x)] === 1;
}

/** A strip along the longer side of the box round a scrap, over all of it. */
function overScrap(
  film: ErodedFilm,
  { bounds }: RegionRuns,
  opening: number,
  limits: Pick<Job, 'narrowestStrip'>,
): Tie {
  const [left, top, right, bottom] = [0, 1, 2, 3].map((k) => bounds[4 * opening + k]);
  const mm = (px: number): number => px / film.pixelsPerMm;
  const [wide, high] = [mm(right + 1 - left), mm(bottom + 1 - top)];
  const [x, y] = [mm(left + right + 1) / 2, mm(top + bottom + 1) / 2];
  const widthMm = Math.min(wide, high) + 2 * OVER_MM;
  const half = Math.max(wide, high) / 2 + OVER_MM;
  const [from, to] =
    wide > high
      ? [
          { x: x - half, y },
          { x: x + half, y },
        ]
      : [
          { x, y: y - half },
          { x, y: y + half },
        ];
  return {
    ...tieBetween(film, from, to, widthMm, 'proposed', limits),
    plain: true,
    followsNeck: true,
  };
}
