import { MM_PER, unitOf, type CardUnit, type Sheet } from '../card.js';

/*
 * Places on a card, and sizes of cards, are told in what the card was given in: whoever thinks in inches measures with an
 * inch ruler. What is set in mm, a tool's limits above all, is told in mm.
 */

/** About as fine as one reads a ruler: a quarter of a mm, or finer. */
const DECIMALS: Readonly<Record<CardUnit, number>> = { in: 2, mm: 1, cm: 2 };

/** "1.25, 2 in": a place on a card, from its left and its top edge. */
export function placeOn(card: string, at: readonly [number, number]): string {
  return `${inUnit(card, at).join(', ')} ${unitOf(card)}`;
}

/** "2.5 × 3.5 in": how large something comes out on a card. */
export function sizeOn(card: string, { widthMm, heightMm }: Sheet): string {
  return `${inUnit(card, [widthMm, heightMm]).join(' × ')} ${unitOf(card)}`;
}

/** Lengths in a card's unit, with no decimal that is not needed. */
export function inUnit(card: string, lengthsMm: readonly number[]): readonly string[] {
  const unit = unitOf(card);
  return lengthsMm.map((mm) => String(Number((mm / MM_PER[unit]).toFixed(DECIMALS[unit]))));
}

/** Cards are advised in steps as they are cut: common practice, no source. */
const STEP: Readonly<Record<CardUnit, number>> = { in: 0.25, mm: 5, cm: 0.5 };

/** "4.25 × 4.25 in": a card of so many times the size, up to the next whole step. */
export function largerCard(card: string, { widthMm, heightMm }: Sheet, times: number): string {
  const unit = unitOf(card);
  const up = (mm: number): number => upTo(STEP[unit], (mm * times) / MM_PER[unit]);
  return `${up(widthMm)} × ${up(heightMm)} ${unit}`;
}

/** The least side of a card in mm, and first in the card's own unit where that is another: "4.25 in (107 mm)". */
export function leastSide(card: string, mm: number): string {
  const unit = unitOf(card);
  const inMm = `${Math.ceil(mm)} mm`;
  return unit === 'mm' ? inMm : `${upTo(STEP[unit], mm / MM_PER[unit])} ${unit} (${inMm})`;
}

const upTo = (step: number, length: number): number => Math.ceil(length / step) * step;
