import type { Colours } from './colours.js';
import { LUMA } from './luma.js';

/** Two pixels, by their places in the picture. */
export interface Sides {
  readonly from: number;
  readonly to: number;
}

/** A place where the colour changes much; `from` and `to` lie on either side of it. */
interface ColourEdge extends Sides {
  /** Whether luma changes hardly at all there. */
  readonly isWeak: boolean;
}

/** A picture's colour edges. */
export interface ColourEdges {
  readonly colours: Colours;
  readonly edges: readonly ColourEdge[];
}

/** A change of luma is weak when it is less than this share of the change of colour. */
const WEAK = 0.25;
/** How far from an edge its two sides are looked at, px: past the blur of a contour that lies between pixels. */
const SIDE = 2;
/** Of so many pixels each way one is looked at: a contour is wider than one, and none is missed for it. */
const EVERY = 2;

/**
 * The colour edges of a picture: the steepest change of all three channels together, by the structure tensor of S. Di
 * Zenzo, "A note on the gradient of a multi-image", Computer Vision, Graphics, and Image Processing 33 (1986).
 *
 * The channels are luma and the colour differences, Y′, R′ − Y′ and B′ − Y′ of Rec. ITU-R BT.709-6, item 3.2 and 3.3
 * before they are scaled, all in percent. So luma is one part of the change, and all of it in a grey picture; and from
 * one full colour to another it is about as large as CIE L*a*b* has it, in a fraction of the time.
 *
 * @param strong how much the colour must change over two pixels; 100 from black to white
 */
export function colourEdges(colours: Colours, strong: number): ColourEdges {
  const { width, height } = colours;
  const channels = channelsOf(colours);
  const down = 3 * width;
  const least = strong * strong;
  const edges: ColourEdge[] = [];
  for (let y = SIDE; y < height - SIDE; y += EVERY) {
    for (let at = y * width + SIDE; at < (y + 1) * width - SIDE; at += EVERY) {
      let xx = 0;
      let yy = 0;
      let xy = 0;
      for (let i = 3 * at; i < 3 * at + 3; i++) {
        const dx = channels[i + 3] - channels[i - 3];
        const dy = channels[i + down] - channels[i - down];
        xx += dx * dx;
        yy += dy * dy;
        xy += dx * dy;
      }
      // The tensor's larger eigenvalue is no larger than their sum.
      if (xx + yy < least) continue;
      const square = (xx + yy + Math.sqrt((xx - yy) * (xx - yy) + 4 * xy * xy)) / 2;
      if (square < least) continue;
      const angle = Math.atan2(2 * xy, xx - yy) / 2;
      const step = Math.round(SIDE * Math.sin(angle)) * width + Math.round(SIDE * Math.cos(angle));
      const isWeak = steepestLuma(channels, at, width) < WEAK * Math.sqrt(square);
      edges.push({ from: at - step, to: at + step, isWeak });
    }
  }
  return { colours, edges };
}

/** Luma and the differences of red and of blue to it, three numbers a pixel, in percent. */
function channelsOf({ data }: Colours): Float32Array {
  const [toRed, toGreen, toBlue] = LUMA.map((share) => (share * 100) / 255);
  const channels = new Float32Array(data.length);
  for (let i = 0; i < data.length; i += 3) {
    const luma = toRed * data[i] + toGreen * data[i + 1] + toBlue * data[i + 2];
    channels[i] = luma;
    channels[i + 1] = (data[i] * 100) / 255 - luma;
    channels[i + 2] = (data[i + 2] * 100) / 255 - luma;
  }
  return channels;
}

/**
 * How much luma changes over two pixels at most, at a pixel or beside it: many files hold colour more coarsely than luma,
 * so that its edges wander by a pixel.
 */
function steepestLuma(channels: Float32Array, at: number, width: number): number {
  let most = 0;
  for (let row = at - width; row <= at + width; row += width) {
    for (let i = 3 * (row - 1); i <= 3 * (row + 1); i += 3) {
      const dx = channels[i + 3] - channels[i - 3];
      const dy = channels[i + 3 * width] - channels[i - 3 * width];
      const square = dx * dx + dy * dy;
      if (square > most) most = square;
    }
  }
  return Math.sqrt(most);
}
