import { segmentsCross, segmentToSegment } from '../../geometry/segment.js';
import { LONG_MM } from './lines.js';
import type { Tie } from './tie.js';

/** How far ties must keep from each other. */
export type Apart =
  /** As `clear`, and between two long ones lies as much as they are long: else they read as rails. */
  | 'spread'
  /** An opening's width lies between them. */
  | 'clear'
  /** Their strips do not meet. */
  | 'beside'
  /** Their middle lines do not cross. */
  | 'uncrossed';

/** The ties that are laid, to find those that a new one would come too near. */
export interface Spacing {
  add(tie: Tie): void;
  remove(tie: Tie): void;
  /** Whether a tie keeps away from all others; `but` is not counted. */
  fits(tie: Tie, apart: Apart, but?: Tie): boolean;
}

/**
 * The side of a cell, in mm: about a strip with what it keeps free round it; and how many cells a row of the numbering has, far more than any sheet.
 */
const CELL_MM = 6;
const CELLS = 2 ** 15;

/** @param openingMm the width of opening between strips that are clear of each other */
export function spacingOf(ties: readonly Tie[], openingMm: number): Spacing {
  const cells = new Map<number, Set<Tie>>();
  const eachCell = (tie: Tie, beyond: number, visit: (key: number) => boolean): boolean => {
    const reach = tie.widthMm / 2 + beyond;
    const { start, end } = tie;
    const left = Math.floor((Math.min(start.x, end.x) - reach) / CELL_MM);
    const right = Math.floor((Math.max(start.x, end.x) + reach) / CELL_MM);
    const bottom = Math.floor((Math.max(start.y, end.y) + reach) / CELL_MM);
    for (let row = Math.floor((Math.min(start.y, end.y) - reach) / CELL_MM); row <= bottom; row++) {
      for (let column = left; column <= right; column++) {
        if (!visit(row * CELLS + column)) return false;
      }
    }
    return true;
  };
  const spacing: Spacing = {
    add: (tie) =>
      void eachCell(tie, 0, (key) => {
        const cell = cells.get(key);
        if (cell) cell.add(tie);
        else cells.set(key, new Set([tie]));
        return true;
      }),
    remove: (tie) =>
      void eachCell(tie, 0, (key) => {
        cells.get(key)?.delete(tie);
        return true;
      }),
    fits: (tie, apart, but) =>
      eachCell(tie, reachOf(tie, apart, openingMm), (key) => {
        for (const other of cells.get(key) ?? []) {
          if (other !== but && !keepsAway(tie, other, apart, openingMm)) return false;
        }
        return true;
      }),
  };
  ties.forEach((tie) => spacing.add(tie));
  return spacing;
}

/** So far beyond its strip a tie may come too near to another, in mm. */
function reachOf(tie: Tie, apart: Apart, openingMm: number): number {
  if (apart === 'spread') return Math.max(openingMm, seenLength(tie));
  return apart === 'clear' ? openingMm : 0;
}

function keepsAway(a: Tie, b: Tie, apart: Apart, openingMm: number): boolean {
  if (apart === 'uncrossed') return !segmentsCross(a.start, a.end, b.start, b.end);
  const between = segmentToSegment(a.gapStart, a.gapEnd, b.gapStart, b.gapEnd);
  const opening = apart === 'spread' || apart === 'clear' ? openingMm : 0;
  const free = apart === 'spread' ? Math.max(opening, asRails(a, b)) : opening;
  return between >= (a.widthMm + b.widthMm) / 2 + free;
}

/**
 * How much free room two long ties must have between them, in mm, so as not to read as a pair of rails: as much as they are long, by
 * eye; 0 where one is short.
 */
function asRails(a: Tie, b: Tie): number {
  const length = Math.min(seenLength(a), seenLength(b));
  return length > LONG_MM ? length : 0;
}

const seenLength = ({ gapStart, gapEnd }: Tie): number =>
  Math.hypot(gapEnd.x - gapStart.x, gapEnd.y - gapStart.y);
