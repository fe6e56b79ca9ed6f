import type { Colours } from './colours.js';
import { labOf } from './lab.js';
import { LUMA, mixed } from './luma.js';

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
  /** CIE L*a*b* of its pixels, three numbers each. */
  readonly lab: Float32Array;
  /** How much the colour changes over two pixels of an edge at least, in L*a*b*: 100 from black to white. */
  readonly strong: number;
  readonly edges: readonly ColourEdge[];
}

/** A change of luma in percent is weak when it is less than this share of the change of colour, in L*a*b*. */
const WEAK = 0.25;
/** How far from an edge its two sides are looked at, px: past the blur of a contour that lies between pixels. */
const SIDE = 2;

/**
 * The colour edges of a picture: the steepest change of all three channels together, by the structure tensor of S. Di
 * Zenzo, "A note on the gradient of a multi-image", Computer Vision, Graphics, and Image Processing 33 (1986), in CIE
 * L*a*b*, where a step is about as large as it looks. In grey pictures that is the change of lightness.
 *
 * @param strong how much the colour must change over two pixels, in L*a*b*
 */
export function colourEdges(colours: Colours, strong: number): ColourEdges {
  const { width, height } = colours;
  const lab = labOf(colours);
  const luma = lumaSlopes(colours);
  const edges: ColourEdge[] = [];
  for (let y = SIDE; y < height - SIDE; y++) {
    for (let at = y * width + SIDE; at < (y + 1) * width - SIDE; at++) {
      const { steepness, angle } = gradientAt(lab, at, width, strong);
      if (steepness < strong) continue;
      const step = Math.round(SIDE * Math.sin(angle)) * width + Math.round(SIDE * Math.cos(angle));
      const isWeak = steepestNear(luma, at, width) < WEAK * steepness;
      edges.push({ from: at - step, to: at + step, isWeak });
    }
  }
  return { colours, lab, strong, edges };
}

/** The change of colour over two pixels, where it is steepest; 0 where it can't come to `strong`. */
function gradientAt(lab: Float32Array, at: number, width: number, strong: number) {
  let [across, down, both] = [0, 0, 0];
  for (let i = 3 * at; i < 3 * at + 3; i++) {
    const dx = lab[i + 3] - lab[i - 3];
    const dy = lab[i + 3 * width] - lab[i - 3 * width];
    across += dx * dx;
    down += dy * dy;
    both += dx * dy;
  }
  // The larger eigenvalue of the tensor is no larger than their sum.
  if (across + down < strong * strong) return { steepness: 0, angle: 0 };
  const apart = across - down;
  const larger = (across + down + Math.sqrt(apart * apart + 4 * both * both)) / 2;
  return { steepness: Math.sqrt(larger), angle: Math.atan2(2 * both, apart) / 2 };
}

/** How much luma changes over two pixels, in percent; 0 at the rim. */
function lumaSlopes({ width, height, data }: Colours): Float32Array {
  const luma = mixed(data, LUMA);
  const slopes = new Float32Array(luma.length);
  for (let y = 1; y < height - 1; y++) {
    for (let i = y * width + 1; i < (y + 1) * width - 1; i++) {
      const dx = luma[i + 1] - luma[i - 1];
      const dy = luma[i + width] - luma[i - width];
      slopes[i] = (Math.sqrt(dx * dx + dy * dy) / 255) * 100;
    }
  }
  return slopes;
}

/** The largest of nine: many files hold colour more coarsely than luma, so that its edges wander by a pixel. */
function steepestNear(slopes: Float32Array, at: number, width: number): number {
  let most = 0;
  for (let row = at - width; row <= at + width; row += width) {
    for (let i = row - 1; i <= row + 1; i++) if (slopes[i] > most) most = slopes[i];
  }
  return most;
}
