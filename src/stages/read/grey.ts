import { colourEdges } from '../../raster/colour-edges.js';
import { coarserColours, type Colours } from '../../raster/colours.js';
import { contrastPairs } from '../../raster/contrast-pairs.js';
import { bestMix } from '../../raster/decolorize.js';
import { LUMA, mixed, type Mix } from '../../raster/luma.js';
import { sayMix } from './grey-words.js';

/** A picture's grey, and what is to be said about it. */
export interface Grey {
  /** A byte a pixel, 0 black to 255 white. */
  readonly data: Uint8Array;
  /** One sentence for the artist; empty where the grey is luma. */
  readonly why: string;
}

/**
 * The longer side, in px, of what the edges are looked for in, at most: about 0.4 mm a pixel on a card of 4 in. The
 * picture counts and not the card, so that it is seen alike on every card.
 */
const LOOK_PX = 256;
/** A colour edge counts from this change over two of these pixels on, in L*a*b*: a fifth of that from black to white. */
const STRONG = 20;
/**
 * When this share of the colour edges is weak in luma, luma is not enough. In a wide gap: on 19 open photographs and
 * this project's samples at most 0.07 are (a rocket's flames at night), in drawings in colours of one luma nearly all.
 */
const MANY = 0.2;
/** Fewer weak ones are no shape, as a share of the pixels: the outline of a spot some 2 mm across. */
const FEWEST = 0.0005;

/**
 * Makes a picture grey: luma by Rec. ITU-R BT.709-6, item 3.2, but where its colours differ far more than their luma
 * does. There it is another mix of red, green and blue, one that keeps the contrasts (`bestMix`).
 */
export function greyOf(colours: Colours): Grey {
  const { mix, why } = hasColour(colours) ? mixFor(colours) : AS_LUMA;
  return { data: mixed(colours.data, mix), why };
}

interface Chosen {
  readonly mix: Mix;
  readonly why: string;
}

const AS_LUMA: Chosen = { mix: LUMA, why: '' };

function mixFor(colours: Colours): Chosen {
  const factor = Math.ceil(Math.max(colours.width, colours.height) / LOOK_PX);
  const look = coarserColours(colours, factor);
  const found = colourEdges(look, STRONG);
  const weak = found.edges.filter(({ isWeak }) => isWeak);
  const enough = Math.max(MANY * found.edges.length, FEWEST * look.width * look.height);
  if (weak.length === 0 || weak.length < enough) return AS_LUMA;
  const mix = bestMix(contrastPairs(found));
  return mix === LUMA ? AS_LUMA : { mix, why: sayMix(weak, found, mix) };
}

function hasColour({ data }: Colours): boolean {
  for (let i = 0; i < data.length; i += 3) {
    if (data[i] !== data[i + 1] || data[i] !== data[i + 2]) return true;
  }
  return false;
}
