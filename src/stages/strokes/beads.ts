import type { Job } from '../../settings/job.js';
import type { Chain } from '../../geometry/chain.js';
import { findRegions, labelRegions, type Regions } from '../../raster/labels.js';
import { closed } from '../../raster/morphology.js';
import { narrowBranches } from '../../raster/narrow-branches.js';
import { boxRound } from '../../raster/crop.js';
import type { Bitmap, Box } from '../../raster/raster.js';
import { stampDisc } from '../../raster/stamp.js';
import { stampLine } from '../../raster/stamp-line.js';

/** A place where beads run together. */
export interface RunTogether {
  /** In mm, in its middle. */
  readonly at: readonly [number, number];
  readonly areaMm2: number;
}

/** Beads on the raster: 1 is glue. */
export interface Beads {
  readonly bitmap: Bitmap;
  readonly pictureBox: Box;
  readonly runTogether: readonly RunTogether[];
}

type BeadSettings = Pick<
  Job,
  'beadWidth' | 'narrowestOpening' | 'narrowestStrip' | 'smallestOpening' | 'margin'
>;

/** From a pixel's corner to its middle. */
const HALF = 0.5;
/** Rounds in which narrow places between beads are filled: what one closes can leave another narrow. */
const ROUNDS = 6;
/** What the traced edge may take from a gap, px to either side, and from a hole's size, as a share of it. */
const EDGE_PX = 1;
const KEPT_HOLE = 1.3;
/** What closes in the crotch of two lines is told from this size on, as a share of a bead's width squared. */
const TOLD = 0.3;

/** Draws strokes as wide as the bead, and closes what is too near between them: there they run together. */
export function rasteriseBeads(
  strokes: readonly Chain[],
  { width, height }: Pick<Bitmap, 'width' | 'height'>,
  pixelsPerMm: number,
  job: BeadSettings,
): Beads {
  const radius = (job.beadWidth / 2) * pixelsPerMm;
  const drawn = new Uint8Array(width * height);
  for (const { x, y } of strokes) {
    const [px, py] = [x, y].map((values) => values.map((mm) => mm * pixelsPerMm));
    stampLine(drawn, width, height, px, py, radius);
  }
  // A pixel more than asked for, so that the traced edge keeps it.
  const half = (job.narrowestOpening / 2) * pixelsPerMm + EDGE_PX;
  const bitmap = withoutNarrow({ width, height, data: drawn }, half, job, pixelsPerMm);
  const between = { width, height, data: bitmap.data.map((v, i) => v & ~drawn[i]) };
  const regions = labelRegions(between, 1, 8);
  const least = TOLD * (job.beadWidth * pixelsPerMm) ** 2;
  const runTogether = Array.from({ length: regions.count }, (_, k) => k + 1)
    .filter((region) => regions.areas[region] >= least)
    .map((region): RunTogether => {
      const [x, y] = regionMiddle(regions, region, width);
      return {
        at: [(x + HALF) / pixelsPerMm, (y + HALF) / pixelsPerMm],
        areaMm2: regions.areas[region] / pixelsPerMm ** 2,
      };
    });
  return { bitmap, pictureBox: boxRound(bitmap, 0), runTogether };
}

/** The pixel of a region that is nearest to the middle of its box. */
function regionMiddle(
  { labels, bounds }: Regions,
  region: number,
  width: number,
): readonly [number, number] {
  const [left, top, right, bottom] = bounds.subarray(4 * region, 4 * region + 4);
  let found: readonly [number, number] = [left, top];
  let least = Infinity;
  for (let y = top; y <= bottom; y++) {
    for (let x = left; x <= right; x++) {
      const off = Math.hypot(x - (left + right) / 2, y - (top + bottom) / 2);
      if (labels[y * width + x] === region && off < least) [least, found] = [off, [x, y]];
    }
  }
  return found;
}

/**
 * Closes gaps narrower than twice `half`, and holes that are smaller than they may be; where beads only just touch they
 * run together more than that. Glue is only added, and never in the margin, so that it ends.
 */
function withoutNarrow(
  beads: Bitmap,
  half: number,
  { beadWidth, narrowestStrip, smallestOpening, margin }: BeadSettings,
  pixelsPerMm: number,
): Bitmap {
  const bitmap = closed(beads, half);
  const bead = (beadWidth / 2) * pixelsPerMm;
  // Wider by a pixel than what holds must be, and still narrower than any bead on the raster.
  const hold = Math.min((narrowestStrip / 2) * pixelsPerMm + EDGE_PX, bead - EDGE_PX);
  for (let round = 0; round < ROUNDS; round++) {
    fillSmall(bitmap, KEPT_HOLE * smallestOpening * pixelsPerMm ** 2);
    const added = widenedNecks(bitmap, hold) + filledGaps(bitmap, half);
    clearMargin(bitmap, beads, Math.ceil(margin * pixelsPerMm) + EDGE_PX);
    if (added === 0) break;
  }
  return bitmap;
}

/** Takes off what is no bead within so many px of the sheet's edge. */
function clearMargin({ width, height, data }: Bitmap, beads: Bitmap, margin: number): void {
  for (let y = 0; y < height; y++) {
    const isInside = y >= margin && y < height - margin;
    for (let x = 0; x < width; x++) {
      if (isInside && x === margin) x = Math.max(x, width - margin);
      data[y * width + x] = beads.data[y * width + x];
    }
  }
}

/** Gives each neck of glue that is thinner than twice `half` that width; returns how many px were added. */
function widenedNecks(bitmap: Bitmap, half: number): number {
  const { width, height, data } = bitmap;
  const whole = { x: 0, y: 0, width, height };
  let added = 0;
  for (const { pixels, joins } of narrowBranches(bitmap, 1, half, whole, whole)) {
    if (!joins) continue;
    for (const i of pixels)
      added += stampDisc(data, width, height, i % width, Math.floor(i / width), half + HALF, 1);
  }
  return added;
}

/** Fills what is narrower than twice `half` between beads; returns how many px were added. */
function filledGaps(bitmap: Bitmap, half: number): number {
  const { width, height, data } = bitmap;
  const whole = { x: 0, y: 0, width, height };
  let added = 0;
  for (const { pixels, halfWidths, region } of narrowBranches(bitmap, 0, half, whole, whole)) {
    if (region) for (const i of region) data[i] = 1;
    pixels.forEach((i, k) => {
      const radius = halfWidths[k] + HALF;
      added += stampDisc(data, width, height, i % width, Math.floor(i / width), radius, 1);
    });
  }
  return added;
}

function fillSmall(bitmap: Bitmap, least: number): void {
  const { starts, ends, numbers, areas } = findRegions(bitmap, 0, 4);
  for (let run = 0; run < starts.length; run++)
    if (areas[numbers[run]] < least) bitmap.data.fill(1, starts[run], ends[run]);
}
