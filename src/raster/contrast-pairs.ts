import type { Colours } from './colours.js';
import type { ColourEdges, Sides } from './colour-edges.js';
import type { ContrastPair } from './decolorize.js';
import { labOf } from './lab.js';
import { LUMA, type ChannelWeights } from './luma.js';

/** So many edges are enough to choose a mix by … */
const MOST_EDGES = 200;
/** … and so many places from all over the picture … */
const PLACES = 1000;
/** … of which no more pairs than this differ in colour and are taken. */
const MOST_FAR = 100;
/** Colours as far apart as this differ, in L*a*b*: a fifth of what lies between black and white. */
const DIFFERENT = 20;
/** Each place is paired with the one so many places further on in the list: as 1000 and this have no factor in common, the
 * partners come from all over the picture. */
const LEAP = 619;
/** A stencil needs no more contrast than this: half of that from black to white. */
const ENOUGH = 0.5;
/** Between colours that differ in luma by less, twenty greys of 255, neither is seen as the lighter one. */
const UNSEEN = 0.08;

/**
 * The contrasts that a picture's grey should keep: across its colour edges, and between places that lie apart, as Lu, Xu
 * & Jia take them (see `bestMix`), but always the same ones.
 *
 * What luma has lighter and darker is to stay so, and so is what has more of red, of green and of blue. Of two other
 * colours the redder one is wished to be darker, as lithographic film has it (common practice, no source), which is blind
 * to red: what a stencil is cut for, a fruit, a flower, a face, is mostly redder than the leaves, sky or water round it.
 */
export function contrastPairs({ colours, edges }: ColourEdges): readonly ContrastPair[] {
  const lab = labOf(colours);
  const sides = [...evenly(edges, MOST_EDGES), ...evenly(apart(lab), MOST_FAR)];
  return sides.map((pair) => pairOf(pair, colours, lab));
}

/** Pairs of places from all over the picture whose colours differ. */
function apart(lab: Float32Array): readonly Sides[] {
  const step = lab.length / 3 / PLACES;
  return Array.from({ length: PLACES }, (_, k) => ({
    from: Math.floor(k * step),
    to: Math.floor(((k * LEAP) % PLACES) * step),
  })).filter(({ from, to }) => distance(lab, from, to) >= DIFFERENT);
}

function evenly<T>(all: readonly T[], most: number): readonly T[] {
  if (all.length <= most) return all;
  return Array.from({ length: most }, (_, k) => all[Math.floor((k * all.length) / most)]);
}

function pairOf({ from, to }: Sides, { data }: Colours, lab: Float32Array): ContrastPair {
  const [one, other] = [colourAt(data, from), colourAt(data, to)];
  const luma = lumaOf(one) - lumaOf(other);
  const colour = distance(lab, from, to) / 100;
  const isLoose = Math.abs(luma) < UNSEEN && !isOrdered(one, other);
  return {
    one,
    other,
    contrast: Math.min(colour, Math.max(Math.abs(luma), ENOUGH)),
    order: isLoose ? redness(lab, to) - redness(lab, from) : luma,
    isLoose,
  };
}

/** Whether one of two colours has more of red, of green and of blue: then it is lighter to the eye (the same paper). */
function isOrdered(one: ChannelWeights, other: ChannelWeights): boolean {
  return [1, -1].some((sign) => one.every((value, k) => sign * (value - other[k]) >= 0));
}

function colourAt(rgb: Uint8Array, at: number): ChannelWeights {
  return [rgb[3 * at] / 255, rgb[3 * at + 1] / 255, rgb[3 * at + 2] / 255];
}

function lumaOf([red, green, blue]: ChannelWeights): number {
  return LUMA[0] * red + LUMA[1] * green + LUMA[2] * blue;
}

function distance(lab: Float32Array, one: number, other: number): number {
  const [i, j] = [3 * one, 3 * other];
  return Math.hypot(lab[i] - lab[j], lab[i + 1] - lab[j + 1], lab[i + 2] - lab[j + 2]);
}

/** The middle of the reds among the hues of L*a*b*, between pink and orange; sRGB's own red is at 40°. */
const RED_HUE = (25 / 180) * Math.PI;

/** How far a colour goes towards red; below 0, away from it. */
function redness(lab: Float32Array, at: number): number {
  return Math.cos(RED_HUE) * lab[3 * at + 1] + Math.sin(RED_HUE) * lab[3 * at + 2];
}
