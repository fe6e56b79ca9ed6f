import type { Sheet } from '../../settings/card.js';
import { creepMm } from '../../settings/folds.js';
import type { Job } from '../../settings/job.js';
import { pointAt } from '../../geometry/cubic.js';
import { flatten } from '../../geometry/flatten.js';
import { insideOf, type FoldPattern } from '../../geometry/fold-pattern.js';
import { isSheetEdge } from '../../geometry/outline.js';
import { difference, isInside, type Region } from '../../geometry/boolean-operations.js';
import type { Point, Shape } from '../../geometry/shape.js';
import { signedArea } from '../../geometry/signed-area.js';
import { isBeyondMirror, packetChains, type PacketChain } from '../../geometry/unfold-outlines.js';
import type { FramedDesign } from '../frame/frame.js';
import type { LaidInPacket } from '../fold/fold.js';
import { placeTackDabs } from './tack-dabs.js';

/** A place where the blade enters, and which way it goes, a vector of length 1. */
interface Entry {
  readonly at: Point;
  readonly along: Point;
}

/** One piece that is cut out of the packet, through all its layers. */
export interface PacketCut {
  /** From 1, in the order of cutting. */
  readonly number: number;
  /** The piece in the packet, as polygons in mm. */
  readonly region: Region;
  /** What the blade follows, each from a fold to a fold or all the way round, as polylines in mm. */
  readonly lines: readonly Float64Array[];
  /** Where the blade enters; none for what is cut inside a layer. */
  readonly entries: readonly Entry[];
  /** Whether it takes in an open edge: what falls is the outer edge of the opened sheet. */
  readonly isOuter: boolean;
  /** In one layer, mm². */
  readonly areaMm2: number;
  readonly lengthMm: number;
}

/** The folded sheet as it lies on the table, and what is cut into it. */
export interface Packet {
  readonly pattern: FoldPattern;
  readonly layers: number;
  readonly thicknessMm: number;
  readonly creepMm: number;
  readonly packetCuts: readonly PacketCut[];
  /** Where low-tack glue holds the opened sheet down, in mm; a sketch shows none. */
  readonly tackDabs: readonly Point[];
}

type PacketJob = Pick<Job, 'sheetThickness' | 'narrowestStrip'>;

/**
 * How far polygons may lie off the curves, in mm: areas of openings of 6 mm² to far better than a tenth of a percent; in a
 * sketch less than a pixel of a screen.
 */
const TOLERANCE_MM = { exact: 0.0005, sketch: 0.05 } as const;
/** Pieces of the packet smaller than this, in mm², come of rounding. */
const ROUNDING_MM2 = 0.05;

/**
 * What of a stencil is cut into its packet, in the order of cutting: the smallest first, so that the packet stays firm,
 * and what takes in an open edge last, since the hand holds it there. Common practice, no source.
 *
 * @returns null where the sheet is not folded
 */
export function packCuts(
  { openings }: Pick<FramedDesign, 'openings'>,
  laid: LaidInPacket | undefined,
  { sheet, pixelsPerMm }: { readonly sheet: Sheet; readonly pixelsPerMm: number },
  job: PacketJob,
  finish: keyof typeof TOLERANCE_MM = 'exact',
): Packet | null {
  if (!laid) return null;
  const { pattern } = laid;
  const regions = regionsIn(openings, pattern, TOLERANCE_MM[finish]);
  const outlines = openings.flatMap(({ outer, holes }) =>
    isSheetEdge(outer, sheet) ? holes : [outer, ...holes],
  );
  const chains = packetChains(outlines, pattern);
  const cuts = regions.map((region) => cutOf(region, chains, regions, pattern));
  const ordered = cuts.toSorted(
    (a, b) => Number(a.isOuter) - Number(b.isOuter) || a.areaMm2 - b.areaMm2,
  );
  return {
    pattern,
    layers: pattern.layers,
    thicknessMm: job.sheetThickness,
    creepMm: creepMm(pattern.layers, job.sheetThickness),
    packetCuts: ordered.map((cut, i) => ({ ...cut, number: i + 1 })),
    tackDabs:
      finish === 'exact' ? placeTackDabs(openings, pattern, { sheet, pixelsPerMm }, job) : [],
  };
}

/** What lies so far beyond a fold, in mm, has nothing in the packet, whatever rounding does. */
const BEYOND_MM = 0.1;

/** The openings inside the packet. */
function regionsIn(
  openings: readonly Shape[],
  pattern: FoldPattern,
  toleranceMm: number,
): Region[] {
  const loops = openings
    .flatMap(({ outer, holes }) => [outer, ...holes])
    .filter((outline) => !isBeyondMirror(outline, pattern, 0, BEYOND_MM))
    .map((outline) => flatten(outline, toleranceMm));
  const packet = Float64Array.from(pattern.outline.flatMap(({ x, y }) => [x, y]));
  const far = 1e4;
  const everywhere = Float64Array.of(-far, -far, far, -far, far, far, -far, far);
  return difference(loops, [everywhere, packet]).filter(
    (region) => regionArea(region) >= ROUNDING_MM2,
  );
}

function regionArea({ outer, holes }: Region): number {
  return (
    Math.abs(signedArea(outer)) - holes.reduce((sum, hole) => sum + Math.abs(signedArea(hole)), 0)
  );
}

function cutOf(
  region: Region,
  chains: readonly PacketChain[],
  regions: readonly Region[],
  pattern: FoldPattern,
): Omit<PacketCut, 'number'> {
  const own = chains.filter((chain) => regionBeside(chain, regions) === region);
  const lines = own.map(polyline);
  return {
    region,
    lines,
    entries: own.flatMap((chain, i) => (chain.ends ? [entryOf(lines[i])] : [])),
    isOuter: touchesOpenEdge(region, pattern),
    areaMm2: regionArea(region),
    lengthMm: lines.reduce((sum, line) => sum + polylineLength(line), 0),
  };
}

/** Which region a chain bounds: what is cut lies on its right hand, seen with y down. */
function regionBeside({ stretches }: PacketChain, regions: readonly Region[]): Region | undefined {
  const { cubic } = stretches[Math.floor(stretches.length / 2)];
  const [x, y] = pointAt(cubic, 0.5);
  const [ahead, behind] = [pointAt(cubic, 0.5 + ASIDE), pointAt(cubic, 0.5 - ASIDE)];
  const [dx, dy] = [ahead[0] - behind[0], ahead[1] - behind[1]];
  const length = Math.hypot(dx, dy) || 1;
  const [u, v] = [x - (dy / length) * BESIDE_MM, y + (dx / length) * BESIDE_MM];
  return regions.find(
    ({ outer, holes }) => isInside(outer, u, v) && !holes.some((hole) => isInside(hole, u, v)),
  );
}

/** A curve's direction is read between parameters so far from its middle. */
const ASIDE = 0.01;
/** How far beside a line its piece is looked for, in mm. */
const BESIDE_MM = 0.03;

function polyline({ stretches }: PacketChain): Float64Array {
  const points: number[] = [stretches[0].cubic[0], stretches[0].cubic[1]];
  for (const { cubic, straight } of stretches) {
    const steps = straight ? 1 : STEPS;
    for (let k = 1; k <= steps; k++) points.push(...pointAt(cubic, k / steps));
  }
  return Float64Array.from(points);
}

/** Chords of a curve: none on paper is longer than a millimetre or two. */
const STEPS = 12;

function polylineLength(line: Float64Array): number {
  let sum = 0;
  for (let i = 2; i < line.length; i += 2) {
    sum += Math.hypot(line[i] - line[i - 2], line[i + 1] - line[i - 1]);
  }
  return sum;
}

function entryOf(line: Float64Array): Entry {
  const [dx, dy] = [line[2] - line[0], line[3] - line[1]];
  const length = Math.hypot(dx, dy) || 1;
  return { at: { x: line[0], y: line[1] }, along: { x: dx / length, y: dy / length } };
}

/** A piece within this of an open edge, in mm, takes it in. */
const AT_EDGE_MM = 0.01;

function touchesOpenEdge({ outer }: Region, { sides }: FoldPattern): boolean {
  return sides.some(({ from, to, is }) => {
    if (is !== 'open') return false;
    const length = Math.hypot(to.x - from.x, to.y - from.y);
    const normal = { x: (from.y - to.y) / length, y: (to.x - from.x) / length };
    for (let i = 0; i < outer.length; i += 2) {
      if (Math.abs(insideOf({ at: from, normal }, outer[i], outer[i + 1])) < AT_EDGE_MM)
        return true;
    }
    return false;
  });
}
