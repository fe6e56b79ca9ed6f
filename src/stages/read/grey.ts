import { colourEdges } from '../../raster/colour-edges.js';
import type { Colours } from '../../raster/colours.js';
import { contrastPairs } from '../../raster/contrast-pairs.js';
import { bestMix } from '../../raster/decolorize.js';
import { LUMA, mixed, type ChannelWeights } from '../../raster/luma.js';
import { sharpOn } from './decoding.js';
import { sayMix } from './grey-words.js';

/** A picture's grey, and what is to be said about it. */
export interface Grey {
  /** A byte a pixel, 0 black to 255 white. */
  readonly data: Uint8Array;
  /** One sentence for the artist; empty where the grey is luma. */
  readonly why: string;
}

/**
 * The longer side, in px, of what the edges are looked for in, at most: about 0.45 mm a pixel on a card of 4 in. The
 * picture counts and not the card, so that it is seen alike on every card.
 */
const LOOK_PX = 200;
/** A colour edge counts from this change over two of these pixels on: a fifth of that from black to white. */
const STRONG = 20;
/**
 * When this share of the colour edges is weak in luma, luma is not enough. In a wide gap: 0.01 and less on 19 open
 * photographs and this project's samples, 0.08 on a photograph whose luma was pressed to a quarter, 0.7 on one pressed to
 * a tenth, all on drawings in colours of one luma, and half where these have something dark on them.
 */
const MANY = 0.25;
/** Fewer weak ones are no shape, as a share of the pixels: the outline of a spot some 2 mm across. */
const FEWEST = 0.0002;

/**
 * Makes a picture grey: luma by Rec. ITU-R BT.709-6, item 3.2, but where its colours differ far more than their luma
 * does. There it is another mix of red, green and blue, one that keeps the contrasts (`bestMix`).
 */
export async function greyOf(colours: Colours): Promise<Grey> {
  const look = await lookAt(colours);
  const { mix, why } = hasColour(look) ? mixFor(look) : AS_LUMA;
  return { data: mixed(colours.data, mix), why };
}

interface ChosenMix {
  readonly mix: ChannelWeights;
  readonly why: string;
}

const AS_LUMA: ChosenMix = { mix: LUMA, why: '' };

/** The picture as the edges are looked for in it; smaller by a triangular filter, which makes no rims of its own. */
async function lookAt({ width, height, data }: Colours): Promise<Colours> {
  const scale = Math.min(1, LOOK_PX / Math.max(width, height));
  const [across, down] = [width, height].map((px) => Math.max(1, Math.round(scale * px)));
  const look = sharpOn(data, { raw: { width, height, channels: 3 } })
    .resize(across, down, { fit: 'fill', kernel: 'linear' })
    .raw();
  return { width: across, height: down, data: await look.toBuffer() };
}

function mixFor(look: Colours): ChosenMix {
  const found = colourEdges(look, STRONG);
  const weak = found.edges.filter(({ isWeak }) => isWeak);
  const enough = Math.max(MANY * found.edges.length, FEWEST * look.width * look.height);
  if (weak.length === 0 || weak.length < enough) return AS_LUMA;
  const mix = bestMix(contrastPairs(found));
  return mix === LUMA ? AS_LUMA : { mix, why: sayMix(weak, look, mix) };
}

function hasColour({ data }: Colours): boolean {
  for (let i = 0; i < data.length; i += 3) {
    if (data[i] !== data[i + 1] || data[i] !== data[i + 2]) return true;
  }
  return false;
}
