import type { Sheet } from './card.js';

/** What the size and the place of register marks follow from, in mm and mm². */
export interface RegisterLimits {
  readonly registerMarks: boolean;
  readonly margin: number;
  readonly narrowestOpening: number;
  readonly narrowestStrip: number;
  readonly smallestOpening: number;
}

/** A pencil goes through an opening of this width, in mm. Common practice, from memory, no published source. */
const PENCIL_MM = 2.5;

/** What a length may be off by in binary, in tenths of a mm: no tenth more for that. */
const ROUNDING = 1e-6;

/** The side of the small squares that a pencil marks the card through, in mm; it can be cut like any opening. */
export function registerSide({
  narrowestOpening,
  smallestOpening,
}: Pick<RegisterLimits, 'narrowestOpening' | 'smallestOpening'>): number {
  const side = Math.max(PENCIL_MM, narrowestOpening, Math.sqrt(smallestOpening));
  return Math.ceil(side * 10 - ROUNDING) / 10;
}

/** The margin that has room for a register mark between two strips that hold, in mm. */
export function registerMargin(limits: Omit<RegisterLimits, 'registerMarks' | 'margin'>): number {
  return registerSide(limits) + 2 * limits.narrowestStrip;
}

/**
 * The middles of the register marks, in mm: in the middle of the margin at three corners of the sheet. The fourth
 * corner, at the lower right, stays whole, so that a sheet that lies turned or wrong side up is seen to.
 */
export function registerPlaces(
  { widthMm, heightMm }: Sheet,
  { registerMarks, margin }: Pick<RegisterLimits, 'registerMarks' | 'margin'>,
): readonly (readonly [number, number])[] {
  if (!registerMarks) return [];
  const inward = margin / 2;
  return [
    [inward, inward],
    [widthMm - inward, inward],
    [inward, heightMm - inward],
  ];
}
