import type { Area, BridgeEdit, Place } from '../../settings/edits.js';
import { isInside } from '../../geometry/boolean-operations.js';
import { pointToSegment, segmentsCross } from '../../geometry/segment.js';
import type { Point } from '../../geometry/shape.js';
import type { Job } from '../../settings/job.js';
import type { ErodedFilm } from './eroded-film.js';
import { tieBetween, type Tie } from './tie.js';

/** What became of an edit that a person made: it has nothing to do any more, and stays in the job. */
export interface UnusedEdit {
  /** Its place in the list of edits, from 0. */
  readonly index: number;
  readonly at: Point;
  readonly why: 'no-opening' | 'no-bridge';
}

/** What a person asked for, ready to be laid. */
export interface EditsRead {
  /** The strips to lay before any is proposed. */
  readonly ties: readonly Tie[];
  /** The places at which none of the proposed ones is wanted. */
  readonly removals: readonly Removal[];
  readonly unused: readonly UnusedEdit[];
}

export interface Removal {
  readonly index: number;
  readonly at: Point;
  /** Another strip is laid in its stead. */
  readonly moved: boolean;
}

type EditLimits = Pick<Job, 'bridgeWidth' | 'narrowestStrip' | 'narrowestOpening' | 'bridgeEdits'>;

const ORIGINS = { add: 'added', pin: 'pinned', move: 'moved' } as const;

/** A strip that covers less than this, in mm², touches no opening. */
const TOUCH_MM2 = 0.05;

/** Tells the edits that have something to do from those that have not, on the film before any bridge. */
export function readEdits(film: ErodedFilm, limits: EditLimits): EditsRead {
  const ties: Tie[] = [];
  const removals: Removal[] = [];
  const unused: UnusedEdit[] = [];
  limits.bridgeEdits.forEach((edit, index) => {
    if (edit.do === 'remove') {
      const at = pointOf(edit.at);
      if (isNearOpening(film, at, limits.bridgeWidth)) removals.push({ index, at, moved: false });
      else unused.push({ index, at, why: 'no-opening' });
      return;
    }
    const tie = tieOf(film, edit, limits);
    if (tie.cost < TOUCH_MM2) {
      unused.push({ index, at: middleOfBridge(edit), why: 'no-opening' });
      return;
    }
    ties.push(tie);
    if (edit.do === 'move') removals.push({ index, at: pointOf(edit.at), moved: true });
  });
  return { ties, removals, unused };
}

function tieOf(
  film: ErodedFilm,
  edit: Exclude<BridgeEdit, { do: 'remove' }>,
  limits: EditLimits,
): Tie {
  const widthMm = (edit.do === 'move' ? undefined : edit.widthMm) ?? limits.bridgeWidth;
  return tieBetween(film, pointOf(edit.from), pointOf(edit.to), widthMm, ORIGINS[edit.do], limits);
}

const pointOf = ([x, y]: Place): Point => ({ x, y });

function middleOfBridge({ from, to }: { readonly from: Place; readonly to: Place }): Point {
  return { x: (from[0] + to[0]) / 2, y: (from[1] + to[1]) / 2 };
}

function isNearOpening(
  { bitmap, pixelsPerMm }: ErodedFilm,
  { x, y }: Point,
  reachMm: number,
): boolean {
  const { width, height, data } = bitmap;
  const reach = (reachMm / 2) * pixelsPerMm;
  const [px, py] = [x * pixelsPerMm, y * pixelsPerMm];
  const bottom = Math.min(height - 1, Math.floor(py + reach));
  for (let row = Math.max(0, Math.floor(py - reach)); row <= bottom; row++) {
    const right = Math.min(width - 1, Math.floor(px + reach));
    for (let column = Math.max(0, Math.floor(px - reach)); column <= right; column++) {
      if (data[row * width + column] === 1) return true;
    }
  }
  return false;
}

export interface RemovedTie {
  readonly tie: Tie;
  readonly removal: Removal;
}

/** The proposed ties that a person wants, and those that are taken away. */
export interface Sifted {
  readonly wanted: readonly Tie[];
  readonly removed: readonly RemovedTie[];
}

/** What a bridge may have wandered since its place was named, beyond half its width, in mm. */
const WANDERED_MM = 1;

/** For each removal, takes away the proposed tie nearest to its place, if one is there. */
export function sift(ties: readonly Tie[], removals: readonly Removal[]): Sifted {
  const removed = new Map<Tie, Removal>();
  for (const removal of removals) {
    let best: Tie | undefined;
    let least = Infinity;
    for (const tie of ties) {
      if (tie.followsNeck) continue;
      const off = pointToSegment(removal.at, tie.gapStart, tie.gapEnd);
      if (off > tie.widthMm / 2 + WANDERED_MM || off >= least) continue;
      best = tie;
      least = off;
    }
    if (best) removed.set(best, removal);
  }
  return {
    wanted: ties.filter((tie) => !removed.has(tie)),
    removed: [...removed].map(([tie, removal]) => ({ tie, removal })),
  };
}

/** Whether what is seen of a tie keeps out of the areas in which no bridge is wanted. */
export function keepsOut(areas: readonly Area[]): (tie: Tie) => boolean {
  if (areas.length === 0) return () => true;
  const polygons = areas.map((area) => Float64Array.from(area.flat()));
  return (tie) => polygons.every((polygon) => !reaches(tie, polygon));
}

function reaches({ gapStart, gapEnd, widthMm }: Tie, polygon: Float64Array): boolean {
  const [x, y] = [(gapStart.x + gapEnd.x) / 2, (gapStart.y + gapEnd.y) / 2];
  if (isInside(polygon, x, y) || isInside(polygon, gapStart.x, gapStart.y)) return true;
  for (let i = 0; i < polygon.length; i += 2) {
    const j = (i + 2) % polygon.length;
    const a = { x: polygon[i], y: polygon[i + 1] };
    const b = { x: polygon[j], y: polygon[j + 1] };
    if (segmentsCross(gapStart, gapEnd, a, b)) return true;
    const gap = Math.min(
      pointToSegment(a, gapStart, gapEnd),
      pointToSegment(gapStart, a, b),
      pointToSegment(gapEnd, a, b),
    );
    if (gap < widthMm / 2) return true;
  }
  return false;
}
