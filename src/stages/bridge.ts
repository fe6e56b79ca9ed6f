import type { Sheet } from '../card.js';
import { rasterise } from '../geometry/rasterise.js';
import type { Outline, Point, Shape } from '../geometry/shape.js';
import type { Job } from '../job.js';
import { candidateTies } from './bridge/candidates.js';
import { chooseTies } from './bridge/choose.js';
import { cutStrips } from './bridge/cut.js';
import { bitmapSize, surveyFilm, type Film } from './bridge/film.js';
import { parted, sortIslands, withoutIslands } from './bridge/islands.js';
import { filmEdges, settle } from './bridge/settle.js';
import type { Tie } from './bridge/tie.js';
import { withoutUncuttable } from './bridge/uncuttable.js';
import type { Eased } from './ease.js';

/** A strip of film across an opening; `from` and `to` lie on the film at either side of it, in mm. */
export interface Bridge {
  readonly from: Point;
  readonly to: Point;
  readonly widthMm: number;
}

/** The openings with bridges left across them. */
export interface Bridged {
  readonly openings: readonly Shape[];
  /** In reading order, from the top left. Strips that only make a neck of film wider are not among them. */
  readonly bridges: readonly Bridge[];
  /** Film regions that nothing held, before bridging. */
  readonly islands: number;
  /** Openings, or pieces that bridges cut off, that were too small or narrow to cut and stay film. */
  readonly openingsDropped: number;
  /** Islands that had no place wide enough for a bridge to hold, and are cut away. */
  readonly islandsDropped: number;
}

type Limits = Pick<Job, 'bridgeWidth' | 'narrowestStrip' | 'narrowestOpening' | 'smallestOpening'>;

/**
 * Lays bridges over the openings until the film is one piece that holds: one piece still when it is eroded by just
 * under half the narrowest strip.
 *
 * The parts of the eroded film, its cores, are the nodes of a graph; straight strips from core to core are its edges,
 * and a spanning tree of least damage is laid (Bronson, Rheingans & Olano, "Semi-automatic stencil creation through
 * error minimization", NPAR 2008, weigh bridges so). A strip's middle line runs from a place that is a radius away
 * from all openings to another such place, and the strip is wider than two radii, so the line survives the erosion
 * and joins the two cores.
 */
export function bridge(
  { shapes }: Pick<Eased, 'shapes'>,
  sheet: Sheet,
  pixelsPerMm: number,
  job: Limits,
): Bridged {
  const cuttable = withoutUncuttable(shapes, pixelsPerMm, job);
  let openings: readonly Shape[] = cuttable;
  let openingsDropped = shapes.length - cuttable.length;
  let islandsDropped = 0;
  let ties: Tie[] = [];
  let before: Left = { islands: Infinity, opening: Infinity };
  // A strip or a piece that stays film can make new cores, and rounding to pixels can part a strip from one; the next
  // round finds them. Neither makes an island, so that each round leaves fewer of them than the one before or as many
  // and fewer pixels of opening: the rounds end.
  for (;;) {
    const { film, bare } = survey(openings, sheet, pixelsPerMm, job);
    openings = withoutIslands(openings, bare);
    islandsDropped += bare.length;
    const left = { islands: countIslands(openings), opening: film.opening };
    if ((film.count === 1 && left.islands === 0) || !isLess(left, before)) break;
    before = left;
    const laid = layTies(film, openings, ties, job);
    ties = [...ties, ...laid];
    const cut = cutStrips(openings, laid);
    const kept = withoutUncuttable(cut.changed, pixelsPerMm, job);
    openings = [...cut.untouched, ...kept];
    openingsDropped += cut.changed.length - kept.length;
  }
  return {
    openings,
    bridges: ties
      .filter(({ neck }) => !neck)
      .map(toBridge)
      .sort(byReading),
    islands: countIslands(cuttable),
    openingsDropped,
    islandsDropped,
  };
}

/** How far a round has come. */
interface Left {
  readonly islands: number;
  /** Pixels of opening. */
  readonly opening: number;
}

function isLess(a: Left, b: Left): boolean {
  return a.islands < b.islands || (a.islands === b.islands && a.opening < b.opening);
}

/** Every hole of an opening is an island. */
function countIslands(openings: readonly Shape[]): number {
  return openings.reduce((sum, { holes }) => sum + holes.length, 0);
}

/**
 * Draws the film and finds its cores, and the islands that have none.
 *
 * Cutting those away leaves all cores what they are: such an island lies inside an opening, which was nearer to
 * everything else than the island is.
 */
function survey(
  openings: readonly Shape[],
  sheet: Sheet,
  pixelsPerMm: number,
  job: Limits,
): { readonly film: Film; readonly bare: readonly Outline[] } {
  const { width, height } = bitmapSize(sheet, pixelsPerMm);
  const bitmap = rasterise(openings, width, height, pixelsPerMm);
  const film = surveyFilm(bitmap, pixelsPerMm, job);
  const { bare, joined } = sortIslands(openings, film);
  if (joined.length === 0) return { film, bare };
  const apart = surveyFilm(parted(bitmap, joined, pixelsPerMm), pixelsPerMm, job);
  return { film: apart, bare: sortIslands(openings, apart).bare };
}

function layTies(
  film: Film,
  openings: readonly Shape[],
  earlier: readonly Tie[],
  job: Limits,
): Tie[] {
  const edges = filmEdges(openings);
  return chooseTies(film, candidateTies(film, job), earlier).map((tie) =>
    settle(tie, film, edges, job),
  );
}

function toBridge({ seenFrom, seenTo, widthMm }: Tie): Bridge {
  return { from: point(seenFrom), to: point(seenTo), widthMm };
}

function point({ x, y }: Point): Point {
  return { x, y };
}

function byReading(a: Bridge, b: Bridge): number {
  return a.from.y + a.to.y - b.from.y - b.to.y || a.from.x + a.to.x - b.from.x - b.to.x;
}
