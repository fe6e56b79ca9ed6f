import { evenly, chainLength } from './chain.js';
import { nearTree, type NearTree } from './near-tree.js';

/*
 * Typification, as map makers call it: of many lines side by side that there is no room for, as many stay as have room
 * (McMaster & Shea, "Generalization in digital cartography", Association of American Geographers, 1992).
 */

/** A line as the eye follows it: places on it, and its direction at each. */
export interface FieldLine {
  readonly x: Float64Array;
  readonly y: Float64Array;
  readonly dx: Float64Array;
  readonly dy: Float64Array;
  readonly length: number;
}

/** That one line runs beside another: the greater part of the shorter one does. */
export interface NeighbourLine {
  /** The other one. */
  readonly line: number;
  /** How far it is from middle to middle, on average. */
  readonly away: number;
}

/** Lines that hang together by being too near each other. */
export interface LineField {
  readonly lines: readonly number[];
  readonly staying: ReadonlySet<number>;
  /** What runs beside a line of the field. */
  readonly beside: (line: number) => readonly NeighbourLine[];
}

/** Lines run side by side where their directions differ by less: cos 30°. */
const ALIKE = Math.cos(Math.PI / 6);
/** A line runs beside another when this share of the shorter one does: then the eye takes them for lines of one field. */
const MOSTLY = 0.6;
/** Lines that meet are lines of a field only when both are so many of the distances long: else they are one figure. */
const LONG = 3;
/** Lines are of one field, and one kept line is looked for from the next, within so many of the distances that lines need. */
const [NEAR, FURTHEST] = [1.5, 3];

/** Places on a line so many to the distance that lines need. */
const PLACES = 4;

/** A line of points in order, closed or open, with places on it as far apart as it takes for the distance that lines need. */
export function fieldLine(x: ArrayLike<number>, y: ArrayLike<number>, distance: number): FieldLine {
  const length = chainLength(x, y);
  const steps = Math.max(2, Math.round((PLACES * length) / distance));
  const at = evenly(Float64Array.from(x), Float64Array.from(y), steps);
  const [dx, dy] = [new Float64Array(steps + 1), new Float64Array(steps + 1)];
  for (let k = 0; k <= steps; k++) {
    const [a, b] = [Math.max(0, k - 1), Math.min(steps, k + 1)];
    const along = Math.hypot(at.x[b] - at.x[a], at.y[b] - at.y[a]) || 1;
    dx[k] = (at.x[b] - at.x[a]) / along;
    dy[k] = (at.y[b] - at.y[a]) / along;
  }
  return { ...at, dx, dy, length };
}

/** The points of a line at which it has wound round once, twice and so on, by its direction over even steps. */
export function turnEnds(x: ArrayLike<number>, y: ArrayLike<number>, step: number): number[] {
  const ends: number[] = [];
  let [from, before, wound] = [0, NaN, 0];
  for (let k = 1; k < x.length; k++) {
    const [dx, dy] = [x[k] - x[from], y[k] - y[from]];
    if (Math.hypot(dx, dy) < step) continue;
    const direction = Math.atan2(dy, dx);
    if (!Number.isNaN(before)) {
      const turn = direction - before;
      wound += turn - 2 * Math.PI * Math.round(turn / (2 * Math.PI));
    }
    if (Math.abs(wound) >= 2 * Math.PI * (ends.length + 1) && k < x.length - 1) ends.push(k);
    [from, before] = [k, direction];
  }
  return ends;
}

/** What a field is made by. */
export interface FieldRules {
  /** From middle to middle that two lines need. */
  readonly distance: number;
  /** Whether a line can be one of a field at all. */
  readonly takesPart: (line: number) => boolean;
  /** Whether two lines meet: those are lines of one field only where both are long, else they are one figure. */
  readonly doMeet: (one: number, other: number) => boolean;
  /** Whether two lines side by side are of one field. */
  readonly isTooNear: (line: number, one: NeighbourLine) => boolean;
  /** Whether both may stay. */
  readonly hasRoom: (line: number, one: NeighbourLine) => boolean;
}

/**
 * The fields of lines that are too near each other, two lines or more, and which of them stay: from a first one on always
 * the one that lies nearest to those that stay and has room beside them (as R. C. Prim grows a tree, Bell System
 * Technical Journal 36, 1957). Several first ones are tried, and the way is taken in which most stay and what goes lies nearest to them.
 */
export function lineFields(
  lines: readonly FieldLine[],
  { distance, takesPart, doMeet, isTooNear, hasRoom }: FieldRules,
): LineField[] {
  const all = [...lines.keys()].filter(takesPart);
  const near = linesBeside(lines, all, distance, NEAR * distance, doMeet).map((list, line) =>
    list.filter((one) => isTooNear(line, one)),
  );
  const fields = componentsOf(near).filter(({ length }) => length > 1);
  // Most lines of most pictures are of no field: only what is in one is looked for further off.
  const beside = linesBeside(lines, fields.flat(), distance, FURTHEST * distance, doMeet);
  return fields.map((field) => ({
    lines: field,
    staying: spacedOut(field, lines, beside, hasRoom),
    beside: (line) => beside[line],
  }));
}

/** By line: those of some that run mostly beside it within a reach, both ways. */
function linesBeside(
  lines: readonly FieldLine[],
  among: readonly number[],
  distance: number,
  reach: number,
  doMeet: (one: number, other: number) => boolean,
): readonly (readonly NeighbourLine[])[] {
  const places = placesOf(lines, among);
  const found: NeighbourLine[][] = lines.map(() => []);
  for (const line of among) {
    const own = lines[line];
    // The shorter one looks; of two that are as long, the first one.
    const looksAt = (other: number): boolean => {
      const longer = lines[other].length - own.length;
      return longer > 0 || (longer === 0 && other > line);
    };
    for (const [other, { sum, count }] of seenFrom(own, places, reach, looksAt)) {
      const share = count / own.x.length;
      if (share < MOSTLY || (own.length < LONG * distance && doMeet(line, other))) continue;
      found[line].push({ line: other, away: sum / count });
      found[other].push({ line, away: sum / count });
    }
  }
  return found;
}

/** Of larger fields only the longest line is tried as the first one that stays: their borders matter less. */
const SMALL_FIELD = 40;

/** Which lines of a field stay: as many as have room, so that what goes lies as near to them as can be. */
function spacedOut(
  field: readonly number[],
  lines: readonly FieldLine[],
  beside: readonly (readonly NeighbourLine[])[],
  hasRoom: (line: number, one: NeighbourLine) => boolean,
): ReadonlySet<number> {
  const byLength = field.toSorted((a, b) => lines[b].length - lines[a].length || a - b);
  const firsts = field.length > SMALL_FIELD ? byLength.slice(0, 1) : byLength;
  const ways = firsts.map((first) => {
    const staying = packed(first, byLength, beside, hasRoom);
    return { staying, off: offFrom(staying, field, beside) };
  });
  return ways.reduce((best, way) => {
    const more = way.staying.size - best.staying.size;
    return more > 0 || (more === 0 && way.off < best.off) ? way : best;
  }).staying;
}

/** How far those that go lie from the nearest one that stays: the sum of the squares. */
function offFrom(
  staying: ReadonlySet<number>,
  field: readonly number[],
  beside: readonly (readonly NeighbourLine[])[],
): number {
  return field
    .filter((line) => !staying.has(line))
    .reduce((sum, line) => {
      const near = beside[line].filter(({ line: other }) => staying.has(other));
      return sum + Math.min(...near.map(({ away }) => away)) ** 2;
    }, 0);
}

/** Lines that have room, from a first one on: each time the one next to those that stay already, and not too near to any. */
function packed(
  first: number,
  byLength: readonly number[],
  beside: readonly (readonly NeighbourLine[])[],
  hasRoom: (line: number, one: NeighbourLine) => boolean,
): ReadonlySet<number> {
  const staying = new Set<number>();
  const open = new Set(byLength);
  const away = new Map([[first, 0]]);
  while (open.size > 0) {
    const next = nearestOpen(open, away);
    staying.add(next);
    open.delete(next);
    for (const one of beside[next]) {
      if (!hasRoom(next, one)) open.delete(one.line);
      else away.set(one.line, Math.min(one.away, away.get(one.line) ?? Infinity));
    }
  }
  return staying;
}

function nearestOpen(open: ReadonlySet<number>, away: ReadonlyMap<number, number>): number {
  let [found, least] = [-1, Infinity];
  for (const line of open) {
    const off = away.get(line) ?? Infinity;
    if (found >= 0 && off >= least) continue;
    [found, least] = [line, off];
  }
  return found;
}

/** Lines that hang together, each once. */
function componentsOf(tooNear: readonly (readonly NeighbourLine[])[]): number[][] {
  const seen = new Uint8Array(tooNear.length);
  return tooNear.flatMap((_, first) => {
    if (seen[first] === 1) return [];
    seen[first] = 1;
    const field = [first];
    for (const line of field)
      for (const { line: other } of tooNear[line]) {
        if (seen[other] === 1) continue;
        seen[other] = 1;
        field.push(other);
      }
    return [field];
  });
}

/** The places of all lines, and a tree to find those near another. */
interface LinePlaces {
  readonly tree: NearTree;
  /** By place, the number of its line. */
  readonly owner: Int32Array;
  readonly x: Float64Array;
  readonly y: Float64Array;
  readonly dx: Float64Array;
  readonly dy: Float64Array;
}

function placesOf(lines: readonly FieldLine[], among: readonly number[]): LinePlaces {
  const all = (name: 'x' | 'y' | 'dx' | 'dy') =>
    Float64Array.from(among.flatMap((line) => [...lines[line][name]]));
  const [x, y, dx, dy] = [all('x'), all('y'), all('dx'), all('dy')];
  const owner = Int32Array.from(
    among.flatMap((line) => Array<number>(lines[line].x.length).fill(line)),
  );
  return { tree: nearTree([...owner.keys()], x, y), owner, x, y, dx, dy };
}

/** Of another line: the distances to it from those places that have it beside them. */
interface Seen {
  sum: number;
  count: number;
}

/** By other line that is looked at: how it is seen from the places of one. */
function seenFrom(
  own: FieldLine,
  places: LinePlaces,
  reach: number,
  looksAt: (other: number) => boolean,
): ReadonlyMap<number, Readonly<Seen>> {
  const seen = new Map<number, Seen>();
  const least = new Map<number, number>();
  for (let k = 0; k < own.x.length; k++) {
    least.clear();
    const look = (place: number, off: number): number => {
      const other = places.owner[place];
      const isNearest = off < (least.get(other) ?? reach) && looksAt(other);
      if (isNearest && isBeside(own, k, places, place, off)) least.set(other, off);
      return reach;
    };
    places.tree.near(own.x[k], own.y[k], look, reach);
    for (const [other, off] of least) {
      const one = seen.get(other) ?? { sum: 0, count: 0 };
      one.sum += off;
      one.count++;
      seen.set(other, one);
    }
  }
  return seen;
}

/** Whether a place lies beside a line, and does not go on from it or across. */
function isBeside(
  own: FieldLine,
  k: number,
  places: LinePlaces,
  place: number,
  off: number,
): boolean {
  const alike = Math.abs(own.dx[k] * places.dx[place] + own.dy[k] * places.dy[place]);
  if (alike < ALIKE) return false;
  const ahead = (places.x[place] - own.x[k]) * own.dx[k] + (places.y[place] - own.y[k]) * own.dy[k];
  return Math.abs(ahead) <= off / 2;
}
