import {
  imageOf,
  inverseOf,
  isReflection,
  type Isometry,
  type SymmetryPattern,
} from '../../geometry/fold-pattern.js';
import { distance, midpoint } from '../../geometry/points.js';
import type { Point, Shape } from '../../geometry/shape.js';
import type { Bridge } from '../bridge/bridge.js';
import { filmRegions, bridgeMiddle, type FilmRegions, type Hold } from './film-regions.js';

/** Images of a bridge nearer to one another than this, in mm, are one: it lies across a mirror. A quarter of a bridge's width, by eye. */
export const SAME_MM = 0.6;

/** In mm². */
export const areaOf = (bridges: readonly Bridge[]): number =>
  bridges.reduce(
    (sum, { from, to, widthMm }) => sum + widthMm * Math.hypot(to.x - from.x, to.y - from.y),
    0,
  );

const moved = (bridge: Bridge, by: Isometry): Bridge => ({
  ...bridge,
  from: imageOf(by, bridge.from),
  to: imageOf(by, bridge.to),
});

/** A bridge as one copy shows it, in every copy; images that are one are there once. */
export function orbitOf(bridge: Bridge, copy: number, { copies }: SymmetryPattern): Bridge[] {
  const home = moved(bridge, inverseOf(copies[copy]));
  const images: Bridge[] = [];
  for (const each of copies) {
    const image = moved(home, each);
    const at = bridgeMiddle(image);
    if (!images.some((other) => distance(bridgeMiddle(other), at) < SAME_MM)) images.push(image);
  }
  return images;
}

/** The area of the bridges that are not another's image by one of the pattern's turns or mirrors, whichever has more. */
export function unevenMm2(bridges: readonly Bridge[], { copies }: SymmetryPattern): number {
  return Math.max(0, ...copies.slice(1).map((copy) => areaOf(aloneBy(copy, bridges))));
}

/** The bridges that are not another's image by all of the pattern's turns and mirrors. */
export function unevenOf(bridges: readonly Bridge[], { copies }: SymmetryPattern): Bridge[] {
  return [...new Set(copies.slice(1).flatMap((copy) => aloneBy(copy, bridges)))];
}

function aloneBy(copy: Isometry, bridges: readonly Bridge[]): Bridge[] {
  const at = bridges.map(bridgeMiddle);
  return bridges.filter((_, k) => {
    const image = imageOf(copy, at[k]);
    return !at.some((other) => distance(other, image) < SAME_MM);
  });
}

/** Of the bridges of a kind so many are left at least with a mirror alone, as a share. By eye. */
const LEAST_KEPT = 0.9;
/** Holds of a region lie so far apart at least, of how far apart they lay: else it swings. By eye. */
const LEAST_SPREAD = 0.75;

/**
 * Of bridges that were laid over a symmetric print the fewest, each with all its images, that hold what all of them hold.
 *
 * It starts from all of them with all their images, and drops the largest in area as long as the film's regions hang together
 * as before, each by two bridges if it and all its images hung by two, as far apart. With a mirror alone there are as many as there were
 * between the same two regions: what is one region may be several parts behind necks.
 *
 * @param shapes what they were laid over
 * @param openingMm the narrowest opening: a bridge and its mirror image are no nearer, or lie on the mirror
 */
export function fewestOrbits(
  bridges: readonly Bridge[],
  shapes: readonly Shape[],
  pattern: SymmetryPattern,
  openingMm: number,
): Bridge[] {
  return bridgesIn(fewest(bridges, filmRegions(shapes, pattern), pattern, openingMm).orbits);
}

const bridgesIn = (orbits: readonly Orbit[]): Bridge[] => orbits.flatMap(({ images }) => images);

interface Fewest {
  readonly orbits: readonly Orbit[];
  /** Whether others hold as much. */
  readonly isHeld: (orbits: readonly Orbit[]) => boolean;
}

function fewest(
  bridges: readonly Bridge[],
  { kindOf, joinedBy, holdBy }: FilmRegions,
  pattern: SymmetryPattern,
  openingMm: number,
): Fewest {
  const orbitsOf = (evenOf: (bridge: Bridge) => Bridge): Orbit[] =>
    bridges.map((bridge) => {
      const kind = kindOf(bridge);
      const even = evenOf(bridge);
      const images = orbitOf(kindOf(even) === kind ? even : bridge, 0, pattern);
      return { kind, images, mm2: areaOf(images) };
    });
  const holdOf = (orbits: readonly Orbit[]): Hold => holdBy(bridgesIn(orbits));
  const before = holdBy(bridges);
  const counts: ReadonlyMap<string, number> =
    pattern.copies.length > 2 ? new Map() : countsOf(bridges.map((bridge) => [kindOf(bridge), 1]));
  const isHeld = (orbits: readonly Orbit[], firm: ReadonlyMap<number, Firm>): boolean => {
    const now = holdOf(orbits);
    const many = countsOf(orbits.map(({ kind, images }) => [kind, images.length]));
    return (
      now.joined >= before.joined &&
      now.regions.every(({ of, at }) => isFirm(at, firm.get(of))) &&
      [...counts].every(([kind, count]) => (many.get(kind) ?? 0) >= LEAST_KEPT * count)
    );
  };
  const held = firmOf(before);
  const byNumber = new Map([...held].map(([of, { count }]) => [of, { count, spreadMm: 0 }]));
  const apart = orbitsOf((bridge) => bridge);
  const onTheirMirrors = orbitsOf((bridge) => onMirrors(bridge, pattern, openingMm));
  const ways = [withoutTooClose(onTheirMirrors, openingMm), withoutTooClose(apart, openingMm)];
  const all = ways.find((way) => isHeld(way, byNumber)) ?? apart;
  const wanted = firmOf({ ...before, regions: [...before.regions, ...holdOf(all).regions] });
  let left = all;
  for (const orbit of all) {
    // A bridge from a region to itself ties a tongue.
    if (orbit.images.some((bridge) => joinedBy(bridge)[0] === joinedBy(bridge)[1])) continue;
    const fewer = left.filter((other) => other !== orbit);
    if (isHeld(fewer, wanted)) left = fewer;
  }
  return { orbits: left, isHeld: (orbits) => isHeld(orbits, wanted) };
}

/** Bridges some of which are each other's images by a part of a print's symmetry alone. */
export interface MixedOrbits {
  readonly bridges: readonly Bridge[];
  /** The part of it by which all of them are; undefined where that is none. */
  readonly within: SymmetryPattern | undefined;
}

/** What is less even has to have so little of the bridges, in area, as a share: else it is not worth it. By eye. */
const WORTH = 0.9;

/**
 * `fewestOrbits`, but for the bridges between some regions, and all images of these, by a part of the symmetry: a star in a ring
 * keeps one mirror, and the ring all five. What saves most area for what it makes uneven goes first, as long as all is even
 * to a limit. Undefined where that saves too little.
 *
 * @param parts of the symmetry, the largest first; the bridges as they are come last
 * @param mostMm2 how much of the bridges may be no other's image
 */
export function mixedOrbits(
  bridges: readonly Bridge[],
  shapes: readonly Shape[],
  pattern: SymmetryPattern,
  parts: readonly SymmetryPattern[],
  openingMm: number,
  mostMm2: number,
): MixedOrbits | undefined {
  const regions = filmRegions(shapes, pattern);
  const whole = fewest(bridges, regions, pattern, openingMm);
  let best: MixedOrbits | undefined;
  let bestMm2 = areaOf(bridgesIn(whole.orbits));
  for (const within of [...parts, undefined]) {
    const all = within ? fewestOrbits(bridges, shapes, within, openingMm) : bridges;
    const few = all.map((bridge): Orbit => ({ kind: regions.kindOf(bridge), images: [bridge], mm2: areaOf([bridge]) })); // prettier-ignore
    const mixed = mixedIn(whole, few, (orbits) => unevenMm2(bridgesIn(orbits), pattern), mostMm2);
    const mm2 = mm2Of(mixed);
    if (mm2 > WORTH * bestMm2) continue;
    [best, bestMm2] = [{ bridges: bridgesIn(mixed), within }, mm2];
  }
  return best;
}

/** Orbits of which those of some kinds are replaced by fewer. */
function mixedIn(
  { orbits, isHeld }: Fewest,
  fewer: readonly Orbit[],
  unevenBy: (orbits: readonly Orbit[]) => number,
  mostMm2: number,
): readonly Orbit[] {
  const ofKind = (of: readonly Orbit[], kind: string): Orbit[] =>
    of.filter((orbit) => orbit.kind === kind);
  const kinds = [...new Set(orbits.map(({ kind }) => kind))]
    .map((kind) => {
      const few = ofKind(fewer, kind);
      return { kind, few, saved: mm2Of(ofKind(orbits, kind)) - mm2Of(few), uneven: unevenBy(few) };
    })
    .filter(({ saved }) => saved > 0)
    .sort((a, b) => b.saved * a.uneven - a.saved * b.uneven);
  let mixed = orbits;
  for (const { kind, few } of kinds) {
    const next = [...mixed.filter((orbit) => orbit.kind !== kind), ...few];
    if (unevenBy(next) <= mostMm2 && isHeld(next)) mixed = next;
  }
  return mixed;
}

const mm2Of = (orbits: readonly Orbit[]): number => orbits.reduce((sum, { mm2 }) => sum + mm2, 0);

/** A bridge with all its images. */
interface Orbit {
  readonly kind: string;
  readonly images: readonly Bridge[];
  readonly mm2: number;
}

/** How a region is held: by how many bridges, two being enough, and how far apart. */
interface Firm {
  readonly count: number;
  readonly spreadMm: number;
}

/** By region and its images how the least of them is held. */
function firmOf({ regions }: Hold): Map<number, Firm> {
  const firm = new Map<number, Firm>();
  for (const { of, at } of regions) {
    const known = firm.get(of) ?? { count: Infinity, spreadMm: Infinity };
    firm.set(of, {
      count: Math.min(known.count, at.length, 2),
      spreadMm: Math.min(known.spreadMm, diameter(at)),
    });
  }
  return firm;
}

const isFirm = (at: readonly Point[], { count, spreadMm }: Firm = { count: 0, spreadMm: 0 }) =>
  at.length >= count && diameter(at) >= LEAST_SPREAD * spreadMm;

/** How far apart the furthest two of some places are, in mm. */
const diameter = (places: readonly Point[]): number =>
  places.reduce((most, a) => places.reduce((far, b) => Math.max(far, distance(a, b)), most), 0);

function countsOf(counted: readonly (readonly [string, number])[]): Map<string, number> {
  const counts = new Map<string, number>();
  for (const [kind, count] of counted) counts.set(kind, (counts.get(kind) ?? 0) + count);
  return counts;
}

/** Orbits, the dearest first, without those that lie in the way of a cheaper one. */
function withoutTooClose(orbits: readonly Orbit[], openingMm: number): Orbit[] {
  const kept: Orbit[] = [];
  for (const orbit of orbits.toSorted((a, b) => a.mm2 - b.mm2)) {
    const [first] = orbit.images;
    const isApart = kept.every(({ images }) =>
      images.every((other) => areApart(first, other, openingMm)),
    );
    if (isApart) kept.push(orbit);
  }
  return kept.reverse();
}

/** Whether an opening between two bridges can be cut. */
const areApart = (a: Bridge, b: Bridge, openingMm: number): boolean =>
  distance(bridgeMiddle(a), bridgeMiddle(b)) >= (a.widthMm + b.widthMm) / 2 + openingMm;

/** A bridge that is too near its mirror images moved on to the mirrors between them, halfway to each. */
function onMirrors(bridge: Bridge, { copies }: SymmetryPattern, openingMm: number): Bridge {
  let even = bridge;
  for (const copy of copies.filter(isReflection)) {
    const image = moved(even, copy);
    if (areApart(even, image, openingMm)) continue;
    const isTurned = distance(even.from, image.from) > distance(even.from, image.to);
    const [from, to] = isTurned ? [image.to, image.from] : [image.from, image.to];
    even = {
      ...even,
      from: midpoint(even.from, from),
      to: midpoint(even.to, to),
    };
  }
  return even;
}
