import { perimeter } from '../../geometry/perimeter.js';
import type { Outline, Point, Shape } from '../../geometry/shape.js';
import { unionFind } from '../../graphs/union-find.js';
import { placedOn } from './choose.js';
import type { ErodedFilm } from './eroded-film.js';
import { holesOf, innermost, type Hole } from './islands.js';
import type { Tie } from './tie.js';

/**
 * An island that hangs on bridges longer than this share of its own outline is dear: more is seen of them, both sides of
 * each, than of it. By eye, on stars in a sky and lights behind a flower.
 */
const MOST_BRIDGE_PER_OUTLINE = 0.5;
/**
 * A compact one is worth more than its outline says: it is held where its shortest bridge covers less than this share of what it
 * covers itself. By eye: a head before a dark ground has 0.2, a mast at night 0.7.
 */
const MOST_BRIDGE_PER_AREA = 0.4;

/** A bridge between two islands, by their numbers; 0 is all other film. */
interface Link {
  readonly a: number;
  readonly b: number;
  readonly lengthMm: number;
  readonly isGiven: boolean;
}

/**
 * The islands whose bridges would cost more than they are worth: they are not held, but cut away. The smallest is looked
 * at first, each with all that hangs on it; none goes that a person has tied, or that she keeps. It is the pruning of a
 * prize-collecting Steiner tree, in which a node may be left out for its worth (D. Bienstock, M. X. Goemans, D. Simchi-Levi & D.
 * Williamson, A note on the prize collecting traveling salesman problem, Mathematical Programming 59, 1993; from memory).
 *
 * @param protectedPlaces what is there is never cut away: kept by a person, or a face; in mm
 * @param bridgeWidth in mm
 */
export function dearIslands(
  openings: readonly Shape[],
  film: ErodedFilm,
  ties: readonly Tie[],
  protectedPlaces: readonly Point[],
  bridgeWidth: number,
): Outline[] {
  const holes = holesOf(openings);
  if (holes.length === 0) return [];
  const links = linksBetween(holes, film, ties);
  const wanted = new Set(protectedPlaces.map(({ x, y }) => innermost(holes, x, y)));
  const gone = new Set<number>();
  const numbers = holes.map((_, k) => k + 1).sort((a, b) => holes[a - 1].area - holes[b - 1].area);
  for (const number of numbers) {
    if (gone.has(number)) continue;
    const there = links.filter(({ a, b }) => a !== b && !gone.has(a) && !gone.has(b));
    const group = [number, ...hangingOn(number, there, holes.length)];
    if (group.some((one) => wanted.has(holes[one - 1]))) continue;
    if (isDear(group, holes, there, bridgeWidth)) group.forEach((one) => gone.add(one));
  }
  return [...gone].map((number) => holes[number - 1].outline);
}

function linksBetween(holes: readonly Hole[], film: ErodedFilm, ties: readonly Tie[]): Link[] {
  const islands = islandsOfCores(holes, film);
  return ties.map((tie) => {
    const { from, to, gapStart, gapEnd, followsNeck, origin } = placedOn(film, tie);
    const lengthMm = followsNeck ? 0 : Math.hypot(gapEnd.x - gapStart.x, gapEnd.y - gapStart.y);
    return { a: islands[from], b: islands[to], lengthMm, isGiven: origin !== 'proposed' };
  });
}

/** By core, the island that it lies in; 0 for other film. */
function islandsOfCores(holes: readonly Hole[], film: ErodedFilm): Int32Array {
  const { bitmap, cores, bounds, count, pixelsPerMm } = film;
  const islands = new Int32Array(count + 1);
  for (let core = 1; core <= count; core++) {
    const [left, top] = bounds.subarray(4 * core, 4 * core + 2);
    const i = cores.indexOf(core, top * bitmap.width + left);
    const x = ((i % bitmap.width) + 0.5) / pixelsPerMm;
    const y = (Math.floor(i / bitmap.width) + 0.5) / pixelsPerMm;
    const hole = innermost(holes, x, y);
    islands[core] = hole ? holes.indexOf(hole) + 1 : 0;
  }
  return islands;
}

/** The islands that hang on one: without it nothing joins them to the film round all. */
function hangingOn(number: number, links: readonly Link[], count: number): number[] {
  const sets = unionFind(count + 1);
  const linked = new Set<number>();
  for (const { a, b } of links) {
    linked.add(a).add(b);
    if (a !== number && b !== number) sets.unite(a, b);
  }
  return [...linked].filter(
    (one) => one !== 0 && one !== number && sets.find(one) !== sets.find(0),
  );
}

function isDear(
  group: readonly number[],
  holes: readonly Hole[],
  links: readonly Link[],
  bridgeWidth: number,
): boolean {
  const own = links.filter(({ a, b }) => group.includes(a) || group.includes(b));
  if (own.length === 0 || own.some(({ isGiven }) => isGiven)) return false;
  const lengthMm = own.reduce((sum, link) => sum + link.lengthMm, 0);
  const outlineMm = group.reduce((sum, one) => sum + perimeter(holes[one - 1].polygon), 0);
  if (lengthMm <= MOST_BRIDGE_PER_OUTLINE * outlineMm) return false;
  const outward = own.filter(({ a, b }) => group.includes(a) !== group.includes(b));
  const shortestMm = Math.min(...outward.map((link) => link.lengthMm));
  const areaMm2 = group.reduce((sum, one) => sum + holes[one - 1].area, 0);
  return shortestMm * bridgeWidth > MOST_BRIDGE_PER_AREA * areaMm2;
}
