import { angleBetween } from './angle.js';
import type { Chain } from './chain.js';

/** A true corner of a chain: where its two straight sides would meet. */
export interface Corner {
  /** The point of the chain where it turns. */
  readonly index: number;
  readonly x: number;
  readonly y: number;
  /** How far it lies from the chain, in mm. */
  readonly offMm: number;
  /** The direction in which it points, away from both sides, in radians. */
  readonly way: number;
  /** Whether it points to the left of the way that the chain runs. */
  readonly left: boolean;
}

/**
 * Chains are searched for corners at this step: a pixel of the raster that they were traced from; finer is
 * interpolation.
 */
export const cornerStepMm = 0.1;

/**
 * Points on both sides of a corner that blur and pixels may have rounded, chosen by eye with the rules below: they are
 * replaced by the sides, drawn on.
 */
export const roundedPoints = 4;

/** In radians. */
const DEGREE = Math.PI / 180;

/**
 * What the eye reads as a corner: two sides, so many points long and so straight, that turn so much. Long sides show even
 * a blunt corner, short ones only a sharp one. All else that is angular is the trace of a pixel or of a soft edge,
 * and may be rounded. Chosen by eye on the open photographs and on drawn motifs; no published source.
 */
const rules = [
  { side: 28, offMm: 0.035, leastTurn: 22 * DEGREE },
  { side: 16, offMm: 0.03, leastTurn: 35 * DEGREE },
  { side: 7, offMm: 0.02, leastTurn: 70 * DEGREE },
] as const;

/**
 * How far off the chain the two sides may meet, in mm: two pixels of the raster; what lies further off was no corner.
 */
const ROUNDED_MM = 0.22;
/** Within so many points, in which the shortest sides of two corners would overlap, only the sharpest turn is one. */
const APART = 6;

/** Turns this near each other are as sharp as each other, in radians: what sums of decimal numbers may be off by. */
const AS_SHARP = 1e-6;
/**
 * A side longer than the shortest may take this part of its closed chain: with more, the arcs of a small ring would pass
 * for sides; with less, a small square's would not. No source.
 */
const MOST_OF_CHAIN = 1 / 4;

/** Finds the true corners of a chain with steps of `cornerStepMm`, in order. */
export function trueCorners(chain: Chain): Corner[] {
  const n = chain.x.length;
  const turns = turnsAcross(chain);
  const corners: Corner[] = [];
  for (let i = 0; i < n; i++) {
    if (turns[i] < rules[0].leastTurn || !isPeak(turns, i)) continue;
    const corner = cornerAt(chain, i);
    if (corner) corners.push(corner);
  }
  return corners;
}

/** How much the chain turns from before the rounded points to after them, without sign. */
function turnsAcross({ x, y }: Chain): Float64Array {
  const n = x.length;
  const turns = new Float64Array(n);
  const side = rules[2].side;
  for (let i = 0; i < n; i++) {
    const a = (i - roundedPoints - side + 2 * n) % n;
    const b = (i - roundedPoints + n) % n;
    const c = (i + roundedPoints) % n;
    const d = (i + roundedPoints + side) % n;
    const ux = x[b] - x[a];
    const uy = y[b] - y[a];
    const vx = x[d] - x[c];
    const vy = y[d] - y[c];
    turns[i] = Math.abs(Math.atan2(ux * vy - uy * vx, ux * vx + uy * vy));
  }
  return turns;
}

/** Whether no turn near this one is sharper; the middle of several that are as sharp. */
function isPeak(turns: Float64Array, i: number): boolean {
  const n = turns.length;
  const same = (j: number): boolean => Math.abs(turns[(j + n) % n] - turns[i]) < AS_SHARP;
  for (let k = 1; k <= APART; k++) {
    const next = Math.max(turns[(i + k) % n], turns[(i - k + n) % n]);
    if (next > turns[i] + AS_SHARP) return false;
  }
  let before = 0;
  let after = 0;
  while (before < APART && same(i - before - 1)) before++;
  while (after < APART && same(i + after + 1)) after++;
  return before === after || before === after + 1;
}

function cornerAt(chain: Chain, i: number): Corner | undefined {
  const back = side(chain, i, -1);
  const ahead = side(chain, i, 1);
  if (!back || !ahead) return undefined;
  const turn = angleBetween(back.way + Math.PI, ahead.way);
  const sides = Math.min(back.points, ahead.points);
  const least = rules.find((rule) => rule.side <= sides)!.leastTurn;
  if (Math.abs(turn) < least) return undefined;
  // Where the two lines meet: back + s (cos, sin).
  const dx = ahead.x - back.x;
  const dy = ahead.y - back.y;
  const s = (dx * Math.sin(ahead.way) - dy * Math.cos(ahead.way)) / Math.sin(ahead.way - back.way);
  const x = back.x + s * Math.cos(back.way);
  const y = back.y + s * Math.sin(back.way);
  const offMm = distanceToChain(chain, i, x, y);
  if (offMm > ROUNDED_MM) return undefined;
  const way = Math.atan2(
    -Math.sin(back.way) - Math.sin(ahead.way),
    -Math.cos(back.way) - Math.cos(ahead.way),
  );
  return { index: i, x, y, offMm, way, left: turn > 0 };
}

interface CornerSide {
  /** The place where the side is taken to start, and the direction in which it leaves the corner. */
  readonly x: number;
  readonly y: number;
  readonly way: number;
  readonly points: number;
}

/** The longest straight side that leaves a corner backward (-1) or ahead (1). */
function side({ x, y }: Chain, i: number, sign: 1 | -1): CornerSide | undefined {
  const n = x.length;
  const at = (k: number): number => (((i + sign * k) % n) + n) % n;
  for (const { side: points, offMm } of rules) {
    if (points + roundedPoints > MOST_OF_CHAIN * n && points > rules[2].side) continue;
    const from = at(roundedPoints);
    const to = at(roundedPoints + points);
    const dx = x[to] - x[from];
    const dy = y[to] - y[from];
    const chord = Math.hypot(dx, dy);
    let off = 0;
    for (let k = 1; k < points; k++) {
      const j = at(roundedPoints + k);
      off = Math.max(off, Math.abs(dx * (y[j] - y[from]) - dy * (x[j] - x[from])) / chord);
    }
    if (off <= offMm) return { x: x[from], y: y[from], way: Math.atan2(dy, dx), points };
  }
  return undefined;
}

/** How far a place is from the points about point i. */
function distanceToChain({ x, y }: Chain, i: number, placeX: number, placeY: number): number {
  const n = x.length;
  let least = Infinity;
  for (let k = i - roundedPoints; k <= i + roundedPoints; k++) {
    const j = (k + n) % n;
    least = Math.min(least, Math.hypot(x[j] - placeX, y[j] - placeY));
  }
  return least;
}
