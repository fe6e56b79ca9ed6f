import { pointToSegment } from '../../src/geometry/segment.js';
import { squaredDistance } from '../../src/raster/distance.js';
import { stepsInRing } from '../../src/raster/neighbours.js';
import type { Bitmap } from '../../src/raster/raster.js';
import type { Bridge } from '../../src/stages/bridge/bridge.js';

/** Where a centreline of the openings ends. */
export interface SkeletonEnd {
  /** In px. */
  readonly x: number;
  readonly y: number;
  /** How far, in px, its opening juts out of the one that it leaves; Infinity where it leaves none. */
  readonly juts: number;
}

/**
 * The ends of the centrelines of what is 1, by thinning (T. Y. Zhang & C. Y. Suen, "A fast parallel algorithm for
 * thinning digital patterns", Communications of the ACM 27, 1984). One that juts out of another line by less than half
 * that line's width is its edge, no end; the shortest are taken off first, so that a blunt end is one end.
 */
export function skeletonEnds(bitmap: Bitmap): SkeletonEnd[] {
  const { width } = bitmap;
  const squared = squaredDistance(bitmap, 0);
  const lines = thinned(bitmap);
  const halfAt = (i: number): number => Math.sqrt(squared[i]);
  for (;;) {
    const branches = branchesIn(lines, width).map((branch) => ({
      ...branch,
      juts: branch.joins === undefined ? Infinity : branch.length + halfAt(branch.end) - halfAt(branch.joins), // prettier-ignore
    }));
    const shortest = branches
      .filter(({ joins, juts }) => joins !== undefined && juts < halfAt(joins))
      .sort((a, b) => a.juts - b.juts);
    if (shortest.length === 0) {
      return branches.map(({ end, juts }) => ({ x: (end % width) + 0.5, y: Math.floor(end / width) + 0.5, juts })); // prettier-ignore
    }
    // Those that leave the same junction wait for the next round: the line may go on in one of them.
    const taken = new Set<number>();
    for (const { pixels, joins } of shortest) {
      if (near(joins!, taken, width)) continue;
      taken.add(joins!);
      for (const i of pixels) lines[i] = 0;
    }
  }
}

/** In px: junctions so near each other are one. */
const SAME_JUNCTION = 3;

function near(place: number, others: ReadonlySet<number>, width: number): boolean {
  for (const other of others) {
    const dx = (place % width) - (other % width);
    const dy = Math.floor(place / width) - Math.floor(other / width);
    if (Math.max(Math.abs(dx), Math.abs(dy)) <= SAME_JUNCTION) return true;
  }
  return false;
}

/** From an end of a centreline to where it meets others. */
interface Branch {
  readonly end: number;
  /** Without the junction's. */
  readonly pixels: readonly number[];
  readonly joins: number | undefined;
  readonly length: number;
}

const ringOf = (i: number, width: number): readonly number[] =>
  stepsInRing(width).map((step) => i + step);

/** How often a ring goes from 0 to 1: the lines that leave its middle. */
const rises = (ring: readonly number[]): number =>
  ring.filter((value, k) => value === 1 && ring[(k + 7) % 8] === 0).length;

function branchesIn(lines: Uint8Array, width: number): Branch[] {
  const linesFrom = (i: number): number => rises(ringOf(i, width).map((j) => lines[j]));
  const branches: Branch[] = [];
  for (let end = 0; end < lines.length; end++) {
    if (lines[end] === 0 || linesFrom(end) > 1) continue;
    const pixels = [end];
    const seen = new Set(pixels);
    let length = 0;
    let joins: number | undefined;
    for (let i = end; ;) {
      const ring = ringOf(i, width);
      // By a side before by a corner, so that no step of a stair is left.
      const order = [0, 2, 4, 6, 1, 3, 5, 7];
      const k = order.find((at) => lines[ring[at]] === 1 && !seen.has(ring[at]));
      if (k === undefined) break;
      i = ring[k];
      length += k % 2 === 0 ? 1 : Math.SQRT2;
      if (linesFrom(i) > 2) {
        joins = i;
        break;
      }
      seen.add(i);
      pixels.push(i);
    }
    branches.push({ end, pixels, joins, length });
  }
  return branches;
}

function thinned({ width, height, data }: Bitmap): Uint8Array {
  const lines = data.slice();
  // What reaches the raster's rim has no ring round it.
  for (let x = 0; x < width; x++) lines[x] = lines[(height - 1) * width + x] = 0;
  for (let y = 0; y < height; y++) lines[y * width] = lines[y * width + width - 1] = 0;
  let left = Array.from(lines.keys()).filter((i) => lines[i] === 1);
  const steps = stepsInRing(width);
  // One for all: a list for each pixel and turn takes longer than all else.
  const ring = steps.map(() => 0);
  for (let idle = 0, turn = 0; idle < 2; turn++) {
    const gone = left.filter((i) => {
      let count = 0;
      for (let k = 0; k < ring.length; k++) count += ring[k] = lines[i + steps[k]];
      if (count < 2 || count > 6 || rises(ring) !== 1) return false;
      const [n, , e, , s, , w] = ring;
      return turn % 2 === 0 ? n * e * s === 0 && e * s * w === 0 : n * e * w === 0 && n * s * w === 0; // prettier-ignore
    });
    for (const i of gone) lines[i] = 0;
    left = left.filter((i) => lines[i] === 1);
    idle = gone.length === 0 ? idle + 1 : 0;
  }
  return lines;
}

/** An end that juts out further reads as a line, in mm. */
const STUB_MM = 2.5;
/** An end is a bridge's when it is no further from it than its half width and so many mm. */
const BESIDE_MM = 1.2;

/** The ends that are stubs: beside a bridge, and jutting out of another line by no more than 2.5 mm. */
export function stubsAmong(
  ends: readonly SkeletonEnd[],
  bridges: readonly Bridge[],
  pixelsPerMm: number,
): SkeletonEnd[] {
  return ends.filter(({ x, y, juts }) => {
    const place = { x: x / pixelsPerMm, y: y / pixelsPerMm };
    const isBeside = ({ from, to, widthMm }: Bridge): boolean =>
      pointToSegment(place, from, to) < widthMm / 2 + BESIDE_MM;
    return juts < STUB_MM * pixelsPerMm && bridges.some(isBeside);
  });
}
