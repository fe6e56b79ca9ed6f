import { LUMA, type ChannelWeights } from './luma.js';

/** Two colours whose contrast a grey is to keep. */
export interface ContrastPair {
  /** sRGB, 0 to 1. */
  readonly one: ChannelWeights;
  readonly other: ChannelWeights;
  /** How far apart their greys should be, 0 to 1 … */
  readonly contrast: number;
  /** … and which should be the darker one: below 0 `one`, above 0 `other`, at 0 either. */
  readonly order: number;
  /** Whether the order is only wished for; else it is to be kept. */
  readonly isLoose: boolean;
}

/** Shares are tried in steps of a tenth, as the paper does … */
const STEPS = 10;
/** … from this many tenths up. The paper begins at 0; with less than nothing of red, red can be dark. */
const LEAST = -5;
/** How far a grey contrast may be from what it should be; the paper's σ. */
const SIGMA = 0.05;
/** How likely the order is that is not wished for, against the other: it must keep a quarter of black to white more. */
const UNWISHED = 1e-5;

/** All mixes that are tried, luma first: it is taken unless another is better. */
const mixes: readonly ChannelWeights[] = [LUMA, ...mixesFrom(LEAST)];

/** Mixes whose shares are whole tenths, none of them less than `least` tenths; 66 from 0. */
export function mixesFrom(least: number): readonly ChannelWeights[] {
  const all: ChannelWeights[] = [];
  for (let red = least; red <= STEPS - 2 * least; red++) {
    for (let green = least; green <= STEPS - least - red; green++) {
      all.push([red / STEPS, green / STEPS, (STEPS - red - green) / STEPS]);
    }
  }
  return all;
}

/**
 * The mix of red, green and blue that keeps contrasts best.
 *
 * C. Lu, L. Xu & J. Jia, "Real-time contrast preserving decolorization", SIGGRAPH Asia 2012 technical briefs: all mixes
 * of a coarse grid are tried, and the one of the least energy is taken. Their 66 are among those tried here. With the
 * others, which take less than nothing of a colour, red can be darker than a green of its luma by more than a little.
 *
 * @returns `LUMA` itself when no other is better
 */
export function bestMix(pairs: readonly ContrastPair[]): ChannelWeights {
  let [best, least] = [LUMA, Infinity];
  for (const mix of mixes) {
    const energy = energyOf(mix, pairs);
    if (energy < least) [best, least] = [mix, energy];
  }
  return best;
}

/**
 * How badly a mix keeps the contrasts, 0 where each is as wanted: the negative logarithm of a Gaussian round the wanted
 * contrast or, where the order is only wished for, of one round it in either order (the paper's bimodal energy). What
 * lies beyond black and white, where a mix of shares below nothing can end, counts as contrast that is lost.
 */
export function energyOf(mix: ChannelWeights, pairs: readonly ContrastPair[]): number {
  const square = 2 * SIGMA * SIGMA;
  const turning = -Math.log(UNWISHED);
  let energy = 0;
  for (const { one, other, contrast, order, isLoose } of pairs) {
    const [grey, beside] = [greyOf(one, mix), greyOf(other, mix)];
    const apart = (within(grey) - within(beside)) * (order < 0 ? -1 : 1);
    const wished = (apart - contrast) ** 2 / square;
    const turned = (apart + contrast) ** 2 / square + (order === 0 ? 0 : turning);
    energy += ((grey - within(grey)) ** 2 + (beside - within(beside)) ** 2) / square;
    energy += isLoose ? ofEither(wished, turned) : wished;
  }
  return energy;
}

/** −ln(e⁻ᵃ + e⁻ᵇ). */
function ofEither(a: number, b: number): number {
  return Math.min(a, b) - Math.log1p(Math.exp(-Math.abs(a - b)));
}

function greyOf([red, green, blue]: ChannelWeights, mix: ChannelWeights): number {
  return mix[0] * red + mix[1] * green + mix[2] * blue;
}

/** A grey, held between black, 0, and white, 1. */
function within(grey: number): number {
  return Math.min(1, Math.max(0, grey));
}
