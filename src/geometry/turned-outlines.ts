import { imageOf, inverseOf, type SymmetryPattern } from './fold-pattern.js';
import type { OutlineCurve } from './outline.js';
import type { Outline, Point, Shape } from './shape.js';
import {
  assembled,
  direction,
  imagesOf,
  keptInside,
  packetChains,
  outlineOfStretches,
  type PacketChain,
  type Unfolding,
} from './unfold-outlines.js';

/** Outlines that meet across a seam lie so far apart at most, in mm; else they are not one outline. By eye. */
const APART_MM = 0.5;
/** Up to so many degrees apart they are led over the seam in one direction; else they meet in a corner. */
const SMOOTH_DEGREES = 35;

/** An end of a chain on the line between two parts. */
interface SeamEnd {
  readonly chain: number;
  readonly isStart: boolean;
  /** In mm from the place that all is turned about. */
  readonly away: number;
}

/** Where a chain goes on: the chain that begins there, in the part beside. */
interface Onward {
  readonly chain: number;
  readonly side: 0 | 1;
}

/**
 * The openings of the whole sheet, from those of one of the parts that it is turned to: where an outline leaves the part it
 * goes on in the one beside with the outline that comes in there. The two are the same but for a hand's tremble and what
 * the grid does, and meet halfway.
 *
 * @param copy the part whose openings are repeated
 * @returns undefined where what leaves the part is not what comes in: it has to be cut elsewhere
 */
export function turnedShapes(
  outlines: readonly Outline[],
  pattern: SymmetryPattern,
  copy: number,
  { around, inside }: Unfolding = {},
): Shape[] | undefined {
  const chains = packetChains(outlines, pattern, copy);
  const pairs = pairsOnSeam(chains, pattern.centre!);
  if (!pairs) return undefined;
  const joined = inOne(chains, pairs, pattern);
  const kept = inside ? joined.map((chain) => keptInside(chain, pattern, inside)) : joined;
  const loops = turnedLoops(kept, onwardOf(pairs), pattern);
  return assembled(around ? [around, ...loops] : loops);
}

/** An end on the first line, and the one on the second that is its image. */
type SeamPair = readonly [first: SeamEnd, second: SeamEnd];

function pairsOnSeam(chains: readonly PacketChain[], centre: Point): SeamPair[] | undefined {
  const [first, second] = ([0, 1] as const).map((side) =>
    endsOn(chains, side, centre).sort((a, b) => a.away - b.away),
  );
  if (first.length !== second.length) return undefined;
  const pairs = first.map((end, k): SeamPair => [end, second[k]]);
  const isOne = ([a, b]: SeamPair): boolean =>
    a.isStart !== b.isStart && Math.abs(a.away - b.away) <= APART_MM;
  return pairs.every(isOne) ? pairs : undefined;
}

function endsOn(chains: readonly PacketChain[], side: 0 | 1, centre: Point): SeamEnd[] {
  return chains.flatMap(({ stretches, ends }, chain) => {
    if (!ends) return [];
    const [from, to] = [stretches[0].cubic, stretches[stretches.length - 1].cubic];
    const away = (x: number, y: number): number => Math.hypot(x - centre.x, y - centre.y);
    return [
      ...(ends[0] === side ? [{ chain, isStart: true, away: away(from[0], from[1]) }] : []),
      ...(ends[1] === side ? [{ chain, isStart: false, away: away(to[6], to[7]) }] : []),
    ];
  });
}

/** Chains whose paired ends are each other's image, and run on in one direction where they nearly do. */
function inOne(
  chains: readonly PacketChain[],
  pairs: readonly SeamPair[],
  { copies }: SymmetryPattern,
): PacketChain[] {
  const own = chains.map(({ stretches, ...rest }) => ({
    ...rest,
    stretches: stretches.map((each) => ({ ...each, cubic: each.cubic.slice() })),
  }));
  const [over, back] = [copies[1], inverseOf(copies[1])];
  for (const [first, second] of pairs) {
    const a = endOf(own[first.chain].stretches, first.isStart);
    const b = endOf(own[second.chain].stretches, second.isStart);
    const [there, image] = [placeOf(a), imageOf(back, placeOf(b))];
    const met = { x: (there.x + image.x) / 2, y: (there.y + image.y) / 2 };
    const apart = bendAt(headingOf(a), imageOf({ ...back, e: 0, f: 0 }, headingOf(b)));
    const isSmooth = Math.abs(apart) <= (SMOOTH_DEGREES * Math.PI) / 180;
    moveEnd(a, met, isSmooth ? apart / 2 : 0);
    moveEnd(b, imageOf(over, met), isSmooth ? -apart / 2 : 0);
  }
  return own;
}

/** By how much one heading is turned from the other's opposite, in radians: 0 where two ends run on in one line. */
function bendAt(one: Point, other: Point): number {
  const cross = one.x * other.y - one.y * other.x;
  const dot = one.x * other.x + one.y * other.y;
  return Math.atan2(-cross, -dot);
}

interface CurveEnd {
  readonly stretch: { cubic: Float64Array; straight: boolean };
  readonly isStart: boolean;
}

const endOf = (
  stretches: { cubic: Float64Array; straight: boolean }[],
  isStart: boolean,
): CurveEnd => ({ stretch: stretches[isStart ? 0 : stretches.length - 1], isStart });

const placeOf = ({ stretch: { cubic }, isStart }: CurveEnd): Point =>
  isStart ? { x: cubic[0], y: cubic[1] } : { x: cubic[6], y: cubic[7] };

/** From the end into the curve. */
const headingOf = ({ stretch: { cubic }, isStart }: CurveEnd): Point =>
  isStart ? direction(cubic, 0, 2, 4, 6) : direction(cubic, 6, 4, 2, 0);

/** What a straight line may be turned by and be one still, in radians. */
const STRAIGHT = 1e-9;

/** Moves an end, its control with it, which is turned about it. Writes to the curve. */
function moveEnd({ stretch, isStart }: CurveEnd, to: Point, turn: number): void {
  const { cubic } = stretch;
  const [end, control] = isStart ? [0, 2] : [6, 4];
  const [dx, dy] = [cubic[control] - cubic[end], cubic[control + 1] - cubic[end + 1]];
  const [cos, sin] = [Math.cos(turn), Math.sin(turn)];
  const moved = Math.hypot(to.x - cubic[end], to.y - cubic[end + 1]);
  cubic[end] = to.x;
  cubic[end + 1] = to.y;
  cubic[control] = to.x + cos * dx - sin * dy;
  cubic[control + 1] = to.y + sin * dx + cos * dy;
  if (moved > STRAIGHT || Math.abs(turn) > STRAIGHT) stretch.straight = false;
}

/** By chain that ends on a seam. */
function onwardOf(pairs: readonly SeamPair[]): ReadonlyMap<number, Onward> {
  return new Map(
    pairs.map(([first, second]): [number, Onward] =>
      // What ends on the second line goes on in the next part, from its first line.
      second.isStart
        ? [first.chain, { chain: second.chain, side: 0 }]
        : [second.chain, { chain: first.chain, side: 1 }],
    ),
  );
}

function turnedLoops(
  chains: readonly PacketChain[],
  onward: ReadonlyMap<number, Onward>,
  { copies, across }: SymmetryPattern,
): Outline[] {
  const loops: Outline[] = [];
  const seen = chains.map(() => new Uint8Array(copies.length));
  chains.forEach(({ stretches, ends }, first) => {
    copies.forEach((place, copy) => {
      if (!ends) {
        loops.push(outlineOfStretches(imagesOf(stretches, place)));
        return;
      }
      if (seen[first][copy] === 1) return;
      const way: OutlineCurve[] = [];
      let [chain, at] = [first, copy];
      while (seen[chain][at] === 0) {
        seen[chain][at] = 1;
        way.push(...imagesOf(chains[chain].stretches, copies[at]));
        const next = onward.get(chain)!;
        [chain, at] = [next.chain, across[at][next.side]];
      }
      loops.push(outlineOfStretches(way));
    });
  });
  return loops;
}
