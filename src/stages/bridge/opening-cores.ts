import type { Job } from '../../settings/job.js';
import { furtherThan } from '../../raster/distance.js';
import { findRegions, regionOf, type RegionRuns } from '../../raster/labels.js';
import type { Bitmap } from '../../raster/raster.js';

/** What is left of a bump beyond a slight waist is no room of its own, in mm². */
const BUMP_MM2 = 0.25;
/** An opening is tried with so much less than half its width: nearly what the check lets pass. */
const JUST_UNDER_MM = 0.08;

/** The openings of a bitmap, and what is left of each when it is eroded by just under half its least width. */
export interface OpeningCores {
  readonly openings: RegionRuns;
  readonly cores: RegionRuns;
  /** By opening, the cores in it that are rooms; two that hang together have a neck between them. */
  readonly rooms: readonly (readonly number[])[];
}

/** Finds the rooms of the openings. */
export function openingCoresOf(
  bitmap: Bitmap,
  pixelsPerMm: number,
  { narrowestOpening }: Pick<Job, 'narrowestOpening'>,
): OpeningCores {
  const radius = (narrowestOpening / 2 - JUST_UNDER_MM) * pixelsPerMm;
  const [data] = furtherThan(bitmap, 0, [radius * radius]);
  const { width, height } = bitmap;
  const openings = findRegions(bitmap, 1, 8);
  const cores = findRegions({ width, height, data }, 1, 8);
  const rooms: number[][] = Array.from({ length: openings.count + 1 }, () => []);
  for (let core = 1; core <= cores.count; core++) {
    const isRoom = cores.areas[core] >= BUMP_MM2 * pixelsPerMm ** 2;
    if (isRoom) rooms[regionOf(openings, cores.first[core])].push(core);
  }
  return { openings, cores, rooms };
}
