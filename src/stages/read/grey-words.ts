import type { Sides } from '../../raster/colour-edges.js';
import type { Colours } from '../../raster/colours.js';
import { labOf } from '../../raster/lab.js';
import { mixed, type ChannelWeights } from '../../raster/luma.js';

/** Less colourful than this, in L*a*b*, is called grey. */
const GREY = 12;
/** Hues by their names, up to which angle of L*a*b*, in degrees: sRGB's red is at 40, yellow 103, green 136, blue 306. */
const NAMES: readonly (readonly [upTo: number, name: string])[] = [
  [5, 'pink'],
  [52, 'red'],
  [80, 'orange'],
  [112, 'yellow'],
  [165, 'green'],
  [225, 'turquoise'],
  [307, 'blue'],
  [330, 'purple'],
  [360, 'pink'],
];

/**
 * What the artist is told of a grey that is not luma: which colour is now the darker one.
 *
 * @param edges where luma was not enough
 */
export function sayMix(edges: readonly Sides[], colours: Colours, mix: ChannelWeights): string {
  const lab = labOf(colours);
  const grey = mixed(colours.data, mix);
  const sides = edges.map(({ from, to }) => (grey[from] < grey[to] ? [from, to] : [to, from]));
  const [darker, lighter] = commonestOf(
    sides.map(([dark, light]) => [nameAt(lab, dark), nameAt(lab, light)] as const),
  );
  const which = `${darker} counts as darker than ${lighter}`;
  return darker === lighter
    ? 'Its colours differ more than their lightness does, so its grey was mixed to keep them apart.'
    : `Its colours differ more than their lightness does, so where lightness is the same ${which}.`;
}

/** The name of a pixel's hue. */
function nameAt(lab: Float32Array, at: number): string {
  const [a, b] = [lab[3 * at + 1], lab[3 * at + 2]];
  if (Math.hypot(a, b) < GREY) return 'grey';
  const angle = ((Math.atan2(b, a) / Math.PI) * 180 + 360) % 360;
  return NAMES.find(([upTo]) => angle < upTo)?.[1] ?? 'pink';
}

/** The pair of different names that is met most often, the earlier one of several; a pair of the same if there is no other. */
function commonestOf(pairs: readonly (readonly [string, string])[]): readonly [string, string] {
  const counts = new Map<string, { readonly pair: readonly [string, string]; count: number }>();
  for (const pair of pairs) {
    const met = counts.get(pair.join()) ?? { pair, count: 0 };
    met.count += pair[0] === pair[1] ? 0 : 1;
    counts.set(pair.join(), met);
  }
  return [...counts.values()].sort((one, other) => other.count - one.count)[0].pair;
}
