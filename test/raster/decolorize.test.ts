import { describe, expect, it } from 'vitest';
import { bestMix, energyOf, mixesFrom, type ContrastPair } from '../../src/raster/decolorize.js';
import { LUMA, mixed, type ChannelWeights } from '../../src/raster/luma.js';
import { seeded } from '../support/bitmaps.js';

function pairsBy(seed: number, count: number): readonly ContrastPair[] {
  const random = seeded(seed);
  const colour = (): ChannelWeights => [random(), random(), random()];
  return Array.from({ length: count }, () => ({
    one: colour(),
    other: colour(),
    contrast: random() / 2,
    order: random() - 0.5,
    isLoose: random() < 0.7,
  }));
}

describe('the mixes', () => {
  it('that take nothing less than nothing are the 66 of Lu, Xu & Jia', () => {
    const mixes = mixesFrom(0);
    expect(mixes).toHaveLength(66);
    expect(new Set(mixes.map((mix) => mix.join())).size).toBe(66);
    expect(mixes.flat().every((share) => share >= 0 && share <= 1)).toBe(true);
  });

  it('sum to 1, so that greys stay as they are', () => {
    const greys = Uint8Array.from({ length: 3 * 256 }, (_, i) => Math.floor(i / 3));
    for (const mix of [LUMA, ...mixesFrom(-5)]) {
      expect(mix[0] + mix[1] + mix[2]).toBeCloseTo(1, 12);
      expect(mixed(greys, mix)).toEqual(Uint8Array.from({ length: 256 }, (_, i) => i));
    }
  });

  it('end at black and white', () => {
    const rgb = Uint8Array.of(255, 0, 0, 0, 255, 0, 0, 0, 255);
    expect([...mixed(rgb, [-0.5, 1.2, 0.3])]).toEqual([0, 255, 77]);
  });
});

describe('bestMix', () => {
  it.each([1, 2, 3, 4, 5])('is no worse than the best of the 66 or luma, seed %i', (seed) => {
    const pairs = pairsBy(seed, 60);
    const energies = [LUMA, ...mixesFrom(0)].map((mix) => energyOf(mix, pairs));
    expect(energyOf(bestMix(pairs), pairs)).toBeLessThanOrEqual(Math.min(...energies));
  });

  it('is luma itself where there is nothing to keep', () => {
    expect(bestMix([])).toBe(LUMA);
  });

  it('keeps an order that must be kept', () => {
    for (const order of [-1, 1]) {
      const [one, other]: ChannelWeights[] = [[0.9, 0.2, 0.2], [0.2, 0.6, 0.2]]; // prettier-ignore
      const mix = bestMix([{ one, other, contrast: 0.4, order, isLoose: false }]);
      const grey = ([red, green, blue]: ChannelWeights) =>
        mix[0] * red + mix[1] * green + mix[2] * blue;
      expect(order * (grey(one) - grey(other))).toBeCloseTo(0.4, 1);
    }
  });
});

describe('energyOf', () => {
  /** Their E(g), term by term, σ 0.05 (equations 2 and 3), from memory; constant factors add the same to every mix. */
  function bySource(mix: ChannelWeights, pairs: readonly ContrastPair[]): number {
    const grey = (colour: ChannelWeights) =>
      colour.reduce((sum, value, k) => sum + value * mix[k], 0);
    const normal = (off: number) => Math.exp(-(off ** 2) / (2 * 0.05 ** 2));
    return pairs.reduce((sum, { one, other, contrast, order, isLoose }) => {
      const apart = grey(one) - grey(other);
      const likely = isLoose
        ? normal(apart + contrast) + normal(apart - contrast)
        : normal(apart - Math.sign(order) * contrast);
      return sum - Math.log(likely);
    }, 0);
  }

  it('is the bimodal energy of the paper where no order is wished for', () => {
    // Contrasts so small that the paper's own exponentials do not run out of numbers.
    const pairs = pairsBy(7, 40).map((pair) => ({
      ...pair,
      other: pair.one.map(
        (value, k) => 0.8 * value + 0.2 * pair.other[k],
      ) as unknown as ChannelWeights,
      contrast: pair.contrast / 4,
      order: pair.isLoose ? 0 : pair.order,
    }));
    for (const mix of mixesFrom(0)) {
      expect(energyOf(mix, pairs)).toBeCloseTo(bySource(mix, pairs), 6);
    }
  });
});
