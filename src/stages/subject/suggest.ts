import { intersectionOverUnion } from '../../raster/intersection-over-union.js';
import type { Colours } from '../../raster/colours.js';
import { coarseCut, fineCut, type Cells } from './graph-cut.js';
import { seedsOf, type SubjectGrid } from './seeds.js';
import { withoutSmallComponents } from './small-components.js';

/**
 * Rims of the picture that are taken for background at first, in percent of its sides: an answer that all three give
 * does not hang on where the rim was drawn.
 */
const RIMS = [4, 8, 12];
/** A person cut off by the lower edge stands on it; anything else has background all round. */
const FOOTINGS = ['free', 'standing'] as const;
/** From here on the answers agree, as intersection over union: a suggestion that is wrong costs more than none. */
const SURE = 0.9;
/**
 * A subject takes more than this share of the picture, and less than that one: beyond them it is a detail, or all there
 * is.
 */
const LEAST_SHARE = 0.05;
const MOST_SHARE = 0.7;

/**
 * Looks for the subject without any mark: the rim of the picture is taken for background, and the rest told apart. An
 * answer that depends on how wide a rim was taken is none.
 *
 * @returns undefined when it is not sure
 */
export function suggest(colours: Colours, ground: SubjectGrid): Cells | undefined {
  const found = FOOTINGS.map((footing) => fromRims(colours, ground, footing));
  const { agreement, known, cut } = found.reduce((a, b) => (b.agreement > a.agreement ? b : a));
  const share = cut.data.reduce((sum, value) => sum + value, 0) / cut.data.length;
  if (agreement < SURE || share < LEAST_SHARE || share > MOST_SHARE) return undefined;
  return withoutSmallComponents(fineCut(colours, known, cut), known);
}

/** Cuts with each rim; how much alike they are: the least intersection over union of two. */
function fromRims(colours: Colours, ground: SubjectGrid, footing: (typeof FOOTINGS)[number]) {
  const { x, y, width, height } = ground.shows;
  const cuts = RIMS.map((rim) => {
    const [across, down] = [rim * width, rim * height];
    const bottom = 100 * (y + height) + (footing === 'standing' ? 1 : -down);
    const from = [100 * x + across, 100 * y + down] as const;
    const to = [100 * (x + width) - across, bottom] as const;
    const known = seedsOf([{ do: 'box', from, to }], ground);
    return { known, cut: coarseCut(colours, known) };
  });
  const sides = cuts.map(({ cut }) => cut.data);
  const pairs = sides.flatMap((a, k) => sides.slice(k + 1).map((b) => intersectionOverUnion(a, b)));
  return { ...cuts[0], agreement: Math.min(...pairs) };
}
