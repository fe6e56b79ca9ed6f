import { shortOpenPath } from '../../src/graphs/open-path-tsp.js';
import { pack } from '../../src/geometry/rectangle-packing.js';
import { narrowBranches } from '../../src/raster/narrow-branches.js';
import { widen } from '../../src/stages/widen/widen.js';
import { seeded } from '../support/bitmaps.js';
import { randomKinds, randomPicture } from '../support/random-pictures.js';
import { answerAll } from '../support/watched.js';

/*
 * Loops that run until nothing changes any more, in a process that can be ended. Each is tried where rounding, to pixels
 * or of costs, has kept it going for ever.
 */

/** What the process is asked: one of the loops, by a seed. */
export interface Question {
  readonly loop: keyof typeof loops;
  readonly seed: number;
}

/** Places of film at the sheet's very edge that are too thin still. */
function thinAtTheEdge(seed: number): number {
  const [size, pixelsPerMm, marginPx] = [200, 3, 1];
  const narrowestStrip = 1.6 + 0.2 * (seed % 40);
  const bitmap = randomPicture(randomKinds[seed % randomKinds.length], seed, size, marginPx);
  const limits = { narrowestOpening: 1.5, smallestOpening: 3, smallestIsland: 9, regionEdits: [] };
  const margin = marginPx / pixelsPerMm;
  const widened = widen(bitmap, pixelsPerMm, { ...limits, margin, narrowestStrip }).bitmap;
  const [inside, whole] = [marginPx, 0].map((edge) => ({
    x: edge,
    y: edge,
    width: size - 2 * edge,
    height: size - 2 * edge,
  }));
  return narrowBranches(widened, 0, (narrowestStrip * pixelsPerMm) / 2 - 0.25, inside, whole)
    .length;
}

/** Stops on a grid that the way leaves out, where leaving a round early costs so much that rounding looks like a gain. */
function missedOnAGrid(seed: number): number {
  const random = seeded(seed);
  const count = 10 + Math.floor(50 * random());
  const columns = Math.ceil(Math.sqrt(count));
  const early = 1e9 * Math.SQRT2;
  const rounds = Array.from({ length: count }, () => Math.floor(12 * random()));
  const way = shortOpenPath(count, (a, b) => {
    const apart = Math.hypot((a % columns) - (b % columns), Math.floor(a / columns) - Math.floor(b / columns)); // prettier-ignore
    return 31.7 * apart + early * Math.abs(rounds[a] - rounds[b]);
  });
  return count - new Set(way).size;
}

/** Sheets that are laid for what is too large for any. */
function sheetsForTooLarge(seed: number): number {
  try {
    return pack([{ width: 100 + seed, height: 50 }], { width: 100, height: 100 }, 0).sheets;
  } catch (error) {
    if (error instanceof RangeError) return 0;
    throw error;
  }
}

const loops = { thinAtTheEdge, missedOnAGrid, sheetsForTooLarge } as const;

answerAll(({ loop, seed }: Question) => Promise.resolve(loops[loop](seed)));
