import { hasOthers, isNumber, isObject, wrongList } from './edits.js';

/**
 * A place in the picture, in percent: of the upright picture's width from its left edge, and of its height from its
 * top edge. The whole picture counts, whatever the crop and the card are; a mark holds for every card.
 */
export type Spot = readonly [number, number];

/**
 * What a person says about where the subject is. `box` and `lasso` are drawn round it: nothing outside of them is
 * subject, and what is inside is told apart. `this` and `not-this` are strokes over what certainly is or is not.
 */
export type Mark =
  /** Two opposite corners, in any order. */
  | { readonly do: 'box'; readonly from: Spot; readonly to: Spot }
  /** A polygon that closes by itself. */
  | { readonly do: 'lasso'; readonly along: readonly Spot[] }
  /** A line through the spots, or a dab on a single one; `width` in percent of the picture's longer side. */
  | {
      readonly do: 'this' | 'not-this';
      readonly along: readonly Spot[];
      readonly width?: number;
    };

/** A polygon that closes by itself. */
export type Loop = readonly Spot[];

export const LOOP_FORM = '[[[30, 20], [60, 20], [60, 55], [30, 55]]]';

/** What to do about loops that can't be used; undefined when they can. */
export function wrongLoops(value: unknown): string | undefined {
  return wrongList(value, (loop) => !areSpots(loop, 3), LOOP_FORM);
}

/** Lets decimal percents add up to 100 although they are not exact in binary. */
export const PERCENT_ROUNDING = 1e-9;

/** A stroke's width in percent of the picture's longer side, where it is not given: about that of a finger. */
export const STROKE_WIDTH = 2;

/** The most spots along one mark: far more than a hand draws. */
const MOST_SPOTS = 10_000;
/** In percent: a lasso may reach out of the picture by as much again. */
const FARTHEST = 200;
/** A stroke's width in percent of the picture's longer side: a wider one would be half of the picture. */
const WIDEST = 50;
/** A box that is thinner than this holds nothing, in percent. */
const THINNEST = 0.5;

export const MARK_FORM =
  '[{"do": "box", "from": [20, 10], "to": [80, 95]}, {"do": "not-this", "along": [[25, 80], [30, 90]], "width": 2}]';

/** What to do about marks that can't be used; undefined when they can. */
export function wrongMarks(value: unknown): string | undefined {
  return wrongList(value, wrongMark, MARK_FORM);
}

function wrongMark(mark: unknown): boolean {
  if (!isObject(mark)) return true;
  switch (mark.do) {
    case 'box':
      return (
        hasOthers(mark, ['do', 'from', 'to']) ||
        !isSpot(mark.from) ||
        !isSpot(mark.to) ||
        isThin(mark.from, mark.to)
      );
    case 'lasso':
      return hasOthers(mark, ['do', 'along']) || !areSpots(mark.along, 3);
    case 'this':
    case 'not-this':
      return (
        hasOthers(mark, ['do', 'along', 'width']) ||
        !areSpots(mark.along, 1) ||
        !(mark.width === undefined || isWidth(mark.width))
      );
    default:
      return true;
  }
}

function isThin([left, top]: Spot, [right, bottom]: Spot): boolean {
  return Math.min(Math.abs(right - left), Math.abs(bottom - top)) < THINNEST;
}

function areSpots(value: unknown, fewest: number): boolean {
  if (!Array.isArray(value)) return false;
  return value.length >= fewest && value.length <= MOST_SPOTS && value.every(isSpot);
}

function isSpot(value: unknown): value is Spot {
  return (
    Array.isArray(value) &&
    value.length === 2 &&
    value.every((percent) => isNumber(percent) && Math.abs(percent) <= FARTHEST)
  );
}

function isWidth(value: unknown): boolean {
  return isNumber(value) && value > 0 && value <= WIDEST;
}
