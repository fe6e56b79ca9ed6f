import { hypot } from './math';
import { isOpen, isPlain, mattersAt } from './film';

/** Steps along a strip's middle, and the grain in which what lies under and beside it is counted, in px. */
const STEP: f64 = 0.5;
const GRAIN: f64 = 1.5;

/** What each place costs however little it matters: of two bridges as harmless the shorter one looks and holds better. */
const SHORT: f64 = 0.5;
const TIDY: f64 = 0.02;

/** What a strip is let off for each of its sides that goes on along a film edge beyond its end; lengths in mm. */
const AT_HOME: f64 = 0.06;
const BESIDE: f64 = 0.4;
const BEYOND: StaticArray<f64> = [0.8, 1.5, 2.2];

// A part of a line, in px: from the last pixel of one core to the first of the next; then a strip's middle.
let x0: f64 = 0;
let y0: f64 = 0;
let x1: f64 = 0;
let y1: f64 = 0;
// Its length, and its direction.
let length: f64 = 0;
let ux: f64 = 0;
let uy: f64 = 0;
// What the strip covers: opening in px², the same with each place as it matters, and between which shares of its length.
let opening: f64 = 0;
let damage: f64 = 0;
let coveredFrom: f64 = 0;
let coveredTo: f64 = 0;
// Between which shares of its length the middle comes onto an opening first and leaves one last; below 0 nowhere.
let seenFrom: f64 = 0;
let seenTo: f64 = 0;

/** Numbers that stand for a strip: its ends, where it is seen, its width, 1 if it follows a neck, and its cost in px². */
const OUT = 9;

/**
 * Measures the strips along `n` lines from core to core; see src/stages/bridge/tie.ts.
 *
 * @param legs x0, y0, x1, y1 by turns, in px
 * @param bridgeWidth, neckWidth widths in mm
 * @param radius what the cores were eroded by, in px
 * @param narrow an opening of this width in px can be cut
 * @param out `OUT` numbers for each
 */
export function measureTies(
  legs: StaticArray<f64>,
  n: i32,
  bridgeWidth: f64,
  neckWidth: f64,
  radius: f64,
  narrow: f64,
  pixelsPerMm: f64,
  out: StaticArray<f64>,
): void {
  for (let k = 0; k < n; k++) {
    take(legs, k);
    see();
    const neck = seenFrom < 0 && !isThroughCorner();
    const widthMm = neck ? neckWidth : bridgeWidth;
    const width = widthMm * pixelsPerMm;
    if (neck) lengthen(radius + 1, radius + 1);
    else squareEnds(width, radius);
    see();
    cover(width);
    const isSeen = !neck && seenFrom >= 0;
    const first = isSeen ? seenFrom : coveredFrom;
    const last = isSeen ? seenTo : coveredTo;
    const slivers = isSeen ? sliversBeside(first, last, width / 2, narrow) : 0;
    const fits = isSeen ? 1 - AT_HOME * continued(first, last, widthMm, pixelsPerMm) : 1;
    // Where no place matters more than another the shortest way is taken, and of those as short the tidier. What
    // follows a neck crosses no opening: there is no shorter way.
    const gap = isSeen ? (last - first) * hypot(x1 - x0, y1 - y0) : 0;
    const cost = isPlain()
      ? gap * widthMm * pixelsPerMm + TIDY * (opening + slivers)
      : fits * (damage + SHORT * opening + slivers);
    put(out, k, first, last, widthMm, neck, cost);
  }
}

/**
 * Measures a strip that was given, from one place to another, and on until its ends hold in the film.
 *
 * @param grown how far, in px, it goes on to find the film, where an opening has grown at its end
 * @param out as of `measureTies`; the cost is the opening that it covers
 */
export function measureGiven(
  legs: StaticArray<f64>,
  width: f64,
  radius: f64,
  grown: f64,
  out: StaticArray<f64>,
): void {
  take(legs, 0);
  lengthen(openBeyond(x1, y1, x0, y0, grown), openBeyond(x0, y0, x1, y1, grown));
  squareEnds(width, radius);
  cover(width);
  see();
  const isSeen = seenFrom >= 0;
  put(out, 0, isSeen ? seenFrom : coveredFrom, isSeen ? seenTo : coveredTo, 0, false, opening);
}

function take(legs: StaticArray<f64>, k: i32): void {
  x0 = legs[4 * k];
  y0 = legs[4 * k + 1];
  x1 = legs[4 * k + 2];
  y1 = legs[4 * k + 3];
}

function put(
  out: StaticArray<f64>,
  k: i32,
  first: f64,
  last: f64,
  widthMm: f64,
  neck: bool,
  cost: f64,
): void {
  const at = OUT * k;
  out[at] = x0;
  out[at + 1] = y0;
  out[at + 2] = x1;
  out[at + 3] = y1;
  out[at + 4] = first;
  out[at + 5] = last;
  out[at + 6] = widthMm;
  out[at + 7] = neck ? 1 : 0;
  out[at + 8] = cost;
}

/** As the engine rounds: a half goes up. */
function nearest(value: f64): f64 {
  const above = ceil(value);
  return above - 0.5 > value ? above - 1 : above;
}

/** Finds the length of the leg, 1 where it has none, and its direction. */
function direct(): void {
  length = hypot(x1 - x0, y1 - y0);
  if (length === 0) length = 1;
  ux = (x1 - x0) / length;
  uy = (y1 - y0) / length;
}

/** Lets the leg begin and end so many px further out. */
function lengthen(before: f64, after: f64): void {
  direct();
  x0 -= before * ux;
  y0 -= before * uy;
  x1 += after * ux;
  y1 += after * uy;
}

/** How many px of opening lie beyond (toX, toY), away from (fromX, fromY), before the film; 0 when there are too many. */
function openBeyond(fromX: f64, fromY: f64, toX: f64, toY: f64, most: f64): f64 {
  let far = hypot(toX - fromX, toY - fromY);
  if (far === 0) far = 1;
  for (let on: f64 = 0; on <= most; on += STEP) {
    if (!isOpen(toX + (on * (toX - fromX)) / far, toY + (on * (toY - fromY)) / far)) return on;
  }
  return 0;
}

/**
 * Moves the strip's ends on into the film by a core's radius and a pixel, so that no opening beyond an end is near
 * enough to part the strip's middle from the core, in pixels too. It looks for an end whose two corners lie in film,
 * further in if need be and else less far: a corner that stands out leaves a step that no tip follows.
 */
function squareEnds(width: f64, radius: f64): void {
  const before = squareEnd(x1, y1, x0, y0, width, radius);
  const after = squareEnd(x0, y0, x1, y1, width, radius);
  lengthen(before, after);
}

/** How far to go on from (toX, toY), away from (fromX, fromY), in px. */
function squareEnd(fromX: f64, fromY: f64, toX: f64, toY: f64, width: f64, radius: f64): f64 {
  let far = hypot(toX - fromX, toY - fromY);
  if (far === 0) far = 1;
  const alongX = (toX - fromX) / far;
  const alongY = (toY - fromY) / far;
  const acrossX = (-alongY * width) / 2;
  const acrossY = (alongX * width) / 2;
  const wanted = radius + 1;
  let best: f64 = -1;
  for (let on: f64 = 0; on <= wanted + width; on += STEP) {
    const x = toX + on * alongX;
    const y = toY + on * alongY;
    if (isOpen(x, y)) break;
    if (isOpen(x + acrossX, y + acrossY) || isOpen(x - acrossX, y - acrossY)) continue;
    best = on;
    if (on >= wanted) break;
  }
  return best < 0 ? radius : best;
}

function stepsAlong(): f64 {
  return max<f64>(1, ceil(hypot(x1 - x0, y1 - y0) / STEP));
}

/** Finds where the middle line comes onto an opening first and leaves one last, 0 to 1. */
function see(): void {
  const steps = stepsAlong();
  let first: f64 = -1;
  let last: f64 = -1;
  for (let i: f64 = 0; i <= steps; i++) {
    if (!isOpen(x0 + ((x1 - x0) * i) / steps, y0 + ((y1 - y0) * i) / steps)) continue;
    if (first < 0) first = i;
    last = i;
  }
  seenFrom = first < 0 ? -1 : max<f64>(0, first - 0.5) / steps;
  seenTo = first < 0 ? -1 : min<f64>(steps, last + 0.5) / steps;
}

/** Whether the film that a leg follows parts on its way: where two openings, or two ends of one, touch by a corner. */
function isThroughCorner(): bool {
  const steps = stepsAlong();
  let column = floor(x0);
  let row = floor(y0);
  for (let i: f64 = 1; i <= steps; i++) {
    const nextColumn = floor(x0 + ((x1 - x0) * i) / steps);
    const nextRow = floor(y0 + ((y1 - y0) * i) / steps);
    const isSlanted = nextColumn !== column && nextRow !== row;
    if (isSlanted && isOpen(nextColumn, row) && isOpen(column, nextRow)) return true;
    column = nextColumn;
    row = nextRow;
  }
  return false;
}

/** So many columns a strip is looked at in at most, and how far each is from the middle. */
const MOST_COLUMNS = 1024;
const columnAcross = new StaticArray<f64>(MOST_COLUMNS);

/** Finds what a strip of a width in px covers. */
function cover(width: f64): void {
  direct();
  const rows = max<f64>(1, nearest(length / GRAIN));
  const columns = <i32>min<f64>(MOST_COLUMNS, max<f64>(2, nearest(width / GRAIN)));
  for (let k = 0; k < columns; k++) columnAcross[k] = ((<f64>k + 0.5) / columns - 0.5) * width;
  let hits: f64 = 0;
  let matters: f64 = 0;
  let first = rows;
  let last: f64 = 0;
  for (let i: f64 = 0; i < rows; i++) {
    const along = ((i + 0.5) / rows) * length;
    let hit = false;
    const middleX = x0 + along * ux;
    const middleY = y0 + along * uy;
    for (let k = 0; k < columns; k++) {
      const x = middleX - columnAcross[k] * uy;
      const y = middleY + columnAcross[k] * ux;
      if (!isOpen(x, y)) continue;
      hits += 1;
      matters += mattersAt(x, y);
      hit = true;
    }
    if (!hit) continue;
    first = min(first, i);
    last = i + 1;
  }
  const each = (length * width) / (rows * columns);
  opening = hits * each;
  damage = matters * each;
  coveredFrom = hits > 0 ? first / rows : 0.5;
  coveredTo = hits > 0 ? last / rows : 0.5;
}

/** How many of the four ends of a strip's sides go on along an edge of the film: film within, opening without. */
function continued(first: f64, last: f64, widthMm: f64, pixelsPerMm: f64): f64 {
  direct();
  const inner = (widthMm / 2 - BESIDE) * pixelsPerMm;
  const outer = (widthMm / 2 + BESIDE) * pixelsPerMm;
  let count: f64 = 0;
  for (let way: f64 = -1; way <= 1; way += 2) {
    const end = way < 0 ? first * length : last * length;
    for (let side: f64 = -1; side <= 1; side += 2) {
      let goesOn = true;
      for (let k = 0; goesOn && k < BEYOND.length; k++) {
        const along = end + way * BEYOND[k] * pixelsPerMm;
        goesOn = !isOpenAt(along, side * inner) && isOpenAt(along, side * outer);
      }
      if (goesOn) count += 1;
    }
  }
  return count;
}

function isOpenAt(along: f64, across: f64): bool {
  return isOpen(x0 + along * ux - across * uy, y0 + along * uy + across * ux);
}

/**
 * The opening beside a bridge, in px², that it would cut off too narrow to be cut: on a side where no place along
 * the bridge has an opening's width between the bridge and the next film.
 *
 * @param edge how far its sides are from its middle, in px
 * @param narrow an opening's width in px
 */
function sliversBeside(first: f64, last: f64, edge: f64, narrow: f64): f64 {
  direct();
  const rows = max<f64>(1, nearest(((last - first) * length) / GRAIN));
  let slivers: f64 = 0;
  for (let side: f64 = -1; side <= 1; side += 2) {
    // Midway is where an opening most often is wide: nothing need be counted then.
    if (lookBeside(first + ((floor(rows / 2) + 0.5) / rows) * (last - first), side, edge, narrow))
      continue;
    let isNarrow = true;
    besideMatters = 0;
    for (let i: f64 = 0; isNarrow && i < rows; i++) {
      isNarrow = !lookBeside(first + ((i + 0.5) / rows) * (last - first), side, edge, narrow);
    }
    if (isNarrow) slivers += (besideMatters * (last - first) * length) / rows;
  }
  return slivers;
}

// How much the places matter that the looks beside a strip have passed.
let besideMatters: f64 = 0;

/** Whether an opening is wide enough beside a strip, at a share of its length. */
function lookBeside(at: f64, side: f64, edge: f64, narrow: f64): bool {
  const along = at * length;
  for (let depth: f64 = 0; depth < narrow; depth++) {
    const across = side * (edge + depth + 0.5);
    const x = x0 + along * ux - across * uy;
    const y = y0 + along * uy + across * ux;
    if (!isOpen(x, y)) return false;
    besideMatters += mattersAt(x, y);
  }
  return true;
}
