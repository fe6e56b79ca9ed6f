import type { Point } from '../../geometry/shape.js';
import type { Bitmap } from '../../raster/raster.js';
import { decimated } from '../../raster/decimation.js';

/** How far what is dark goes round a place, in steps of a degree, and rings of so many mm. */
const STEPS = 360;
const RING_MM = 1;
/** So many px a mm have a vote: the narrowest lines of a drawing have one in most steps. */
const PX_PER_MM = 4;
/** So much of what is dark in its rings agrees with its image, at least, where a drawing is symmetric: fine lines fall between the steps. By measure, 0.6 and more. */
const LEAST = 0.4;
/** What counts as agreed from the first, of the dark that its rings share: without it a disc would have no turns. */
const ALL_ROUND = 0.02;

/** What all that is dark says of its symmetry about a place. */
export interface SymmetryVotes {
  /** The directions of axes, in degrees clockwise from straight up, 0 to under 180, those most agreed on first. */
  readonly axes: readonly number[];
  /** Whether as much may be turned by 360° / n. */
  readonly turns: (n: number) => boolean;
}

/**
 * Correlates what is dark round a place with its mirror images and with itself turned, ring by ring: of a symmetric drawing
 * the correlation has a peak at each axis and turn (Derrode & Ghorbel, "Shape analysis and symmetry detection in gray-level
 * objects using the analytical Fourier-Mellin representation", Signal Processing 84, 2004, do so by harmonics; from memory).
 *
 * @param centre in px
 */
export function symmetryVotes(bitmap: Bitmap, centre: Point, pixelsPerMm: number): SymmetryVotes {
  const step = Math.max(1, Math.floor(pixelsPerMm / PX_PER_MM));
  const middle = { x: centre.x / step, y: centre.y / step };
  const rings = smoothed(darkInRings(decimated(bitmap, step), middle, pixelsPerMm / step));
  const share = agreement(rings);
  const isLikely = likelyMirrors(rings);
  // Steps have their middles half a step on: an axis between two of them maps their sum.
  const mirrored = Array.from({ length: STEPS }, (_, s) => isLikely(s) ? share(s + STEPS, -1) : 0); // prettier-ignore
  const axes = mirrored
    .map((agreed, s) => ({ agreed, degrees: ((s + 1) % STEPS) / 2 }))
    .filter(
      ({ agreed }, s) =>
        agreed >= LEAST &&
        agreed >= mirrored[(s + 1) % STEPS] &&
        agreed >= mirrored[(s + STEPS - 1) % STEPS],
    )
    .sort((a, b) => b.agreed - a.agreed)
    .map(({ degrees }) => degrees);
  return { axes, turns: (n) => share(Math.round(STEPS / n), 1) >= LEAST };
}

/** What is dark a step further round, or mirrored, agrees with what is dark: the share, 0 to 1, of the rings' energy. */
function agreement(rings: readonly Float32Array[]): (first: number, way: 1 | -1) => number {
  const steps = rings[0]?.length ?? 0;
  const floor = ALL_ROUND * energy(rings);
  const uneven = rings.map(lessItsMean);
  const all = energy(uneven) + floor;
  // Twice round, so that no step has to be counted back.
  const twice = uneven.map((ring) => Float32Array.of(...ring, ...ring));
  return (first, way) => {
    let sum = floor;
    for (const ring of twice) {
      for (let k = 0, to = first; k < steps; k++, to += way) sum += ring[k] * ring[to];
    }
    return all > 0 ? sum / all : 0;
  };
}

/** So many steps are one in the first look: what agrees in single steps does in broad ones, too. */
const BROAD = 4;

/** Whether the mirror that takes each step k to s − k may be agreed on: a sixteenth of the sums tells it of most. */
function likelyMirrors(rings: readonly Float32Array[]): (s: number) => boolean {
  const share = agreement(rings.map(inBroadSteps));
  const broad = STEPS / BROAD;
  const isLikely = Array.from({ length: broad }, (_, s) => share(s + broad, -1) >= LEAST);
  return (s) => {
    const there = Math.floor(s / BROAD);
    return isLikely[there] || isLikely[(there + broad - 1) % broad];
  };
}

function inBroadSteps(ring: Float32Array): Float32Array {
  const broad = new Float32Array(ring.length / BROAD);
  ring.forEach((value, k) => (broad[Math.floor(k / BROAD)] += value));
  return broad;
}

/** The dark pixels by ring and degree. */
function darkInRings(
  { width, height, data }: Bitmap,
  { x, y }: Point,
  pixelsPerMm: number,
): Float32Array[] {
  const rings: Float32Array[] = [];
  const perRing = RING_MM * pixelsPerMm;
  for (let row = 0, i = 0; row < height; row++) {
    for (let column = 0; column < width; column++, i++) {
      if (data[i] === 0) continue;
      const [dx, dy] = [column + 0.5 - x, row + 0.5 - y];
      const ring = Math.floor(Math.sqrt(dx * dx + dy * dy) / perRing);
      const turn = Math.atan2(dx, -dy) / (2 * Math.PI);
      const step = Math.floor((turn < 0 ? turn + 1 : turn) * STEPS) % STEPS;
      while (rings.length <= ring) rings.push(new Float32Array(STEPS));
      rings[ring][step]++;
    }
  }
  return rings;
}

/** Each step with half of those beside it: pixels fall on either side of a step's border. */
const smoothed = (rings: readonly Float32Array[]): Float32Array[] =>
  rings.map((ring) =>
    ring.map((value, k) => value + (ring[(k + 1) % STEPS] + ring[(k + STEPS - 1) % STEPS]) / 2),
  );

function lessItsMean(ring: Float32Array): Float32Array {
  const mean = ring.reduce((sum, value) => sum + value, 0) / ring.length;
  return ring.map((value) => value - mean);
}

const energy = (rings: readonly Float32Array[]): number =>
  rings.reduce((sum, ring) => sum + ring.reduce((own, value) => own + value * value, 0), 0);
