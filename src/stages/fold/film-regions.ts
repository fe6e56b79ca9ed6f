import { flatten } from '../../geometry/flatten.js';
import { imageOf, type SymmetryPattern } from '../../geometry/fold-pattern.js';
import { midpoint } from '../../geometry/points.js';
import { shapeFinder } from '../../geometry/point-location.js';
import type { Point, Shape } from '../../geometry/shape.js';
import { signedArea } from '../../geometry/signed-area.js';
import { unionFind } from '../../graphs/union-find.js';
import type { Bridge } from '../bridge/bridge.js';

/** The regions of film that bridges join, by number: the holes of openings from the smallest, and -1 all round. */
export interface FilmRegions {
  readonly joinedBy: (bridge: Bridge) => readonly [number, number];
  /** The same for all images of a bridge, and for others that join the same two regions, or an image of them. */
  readonly kindOf: (bridge: Bridge) => string;
  /** What bridges hold. */
  readonly holdBy: (bridges: readonly Bridge[]) => Hold;
}

/** How many joins of a spanning forest of the regions bridges make, and by region where they hold it. */
export interface Hold {
  readonly joined: number;
  readonly regions: readonly HeldRegion[];
}

interface HeldRegion {
  readonly region: number;
  /** The same for all images of a region. */
  readonly of: number;
  /** The middles of the bridges that hold it. */
  readonly at: readonly Point[];
}

/** Beyond its ends, by so much in mm, a bridge lies on the film that it holds. */
const BEYOND_MM = 0.5;

/** The regions of film between openings that are symmetric. */
export function filmRegions(shapes: readonly Shape[], { copies }: SymmetryPattern): FilmRegions {
  const holes = shapes
    .flatMap((shape) => shape.holes)
    .map((hole) => ({ hole, mm2: Math.abs(signedArea(flatten(hole))) }))
    .sort((a, b) => a.mm2 - b.mm2)
    .map(({ hole }) => ({ outer: hole, holes: [] }));
  const regionAt = shapeFinder(holes);
  /** By image of a place of film, its region. */
  const regionsOf = (place: Point): number[] =>
    copies.map((copy) => {
      const { x, y } = imageOf(copy, place);
      return regionAt(x, y);
    });
  const joinedBy: FilmRegions['joinedBy'] = (bridge) => {
    const [a, b] = endsOf(bridge).map(({ x, y }) => regionAt(x, y));
    return [Math.min(a, b), Math.max(a, b)];
  };
  return {
    joinedBy,
    kindOf: (bridge) => {
      const [from, to] = endsOf(bridge).map(regionsOf);
      return from.map((a, k) => [a, to[k]].sort((one, other) => one - other).join(' ')).sort()[0];
    },
    holdBy: (bridges) => {
      const held = new Map<number, { region: number; of: number; at: Point[] }>();
      for (const bridge of bridges) {
        const [a, b] = joinedBy(bridge);
        if (a === b) continue;
        for (const end of endsOf(bridge)) {
          const region = regionAt(end.x, end.y);
          const known = held.get(region) ?? { region, of: Math.min(...regionsOf(end)), at: [] };
          known.at.push(bridgeMiddle(bridge));
          held.set(region, known);
        }
      }
      return { joined: joinsOf(bridges.map(joinedBy)), regions: [...held.values()] };
    },
  };
}

/** The middle of a bridge. */
export const bridgeMiddle = ({ from, to }: Bridge): Point => midpoint(from, to);

/** Places on the film at either end of a bridge. */
function endsOf({ from, to }: Bridge): readonly [Point, Point] {
  const long = Math.hypot(to.x - from.x, to.y - from.y) || 1;
  const [dx, dy] = [(BEYOND_MM / long) * (to.x - from.x), (BEYOND_MM / long) * (to.y - from.y)];
  return [
    { x: from.x - dx, y: from.y - dy },
    { x: to.x + dx, y: to.y + dy },
  ];
}

function joinsOf(pairs: readonly (readonly [number, number])[]): number {
  const numbers = [...new Set(pairs.flat())];
  const union = unionFind(numbers.length);
  return pairs.filter(([a, b]) => union.unite(numbers.indexOf(a), numbers.indexOf(b))).length;
}
