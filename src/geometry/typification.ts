import { evenly, lengthOf } from './chain.js';

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

/** That one line runs beside another. */
export interface Beside {
  /** The other one. */
  readonly line: number;
  /** The share of the shorter one's places that have the longer one beside them. */
  readonly share: number;
  /** How far it is from middle to middle, on average. */
  readonly away: number;
}

/** Lines that hang together by being too near each other. */
export interface LineField {
  readonly lines: readonly number[];
  readonly staying: ReadonlySet<number>;
}

/** Lines run side by side where their directions differ by less: cos 30°. */
const ALIKE = Math.cos(Math.PI / 6);
/** A line runs beside another when this share of the shorter one does: then the eye takes them for lines of one field. */
const MOSTLY = 0.6;
/** Lines that meet are lines of a field only when both are so many of the distances long: else they are one figure. */
const LONG = 3;
/** How far one kept line is looked for from the next, in the distances that lines need. */
const FURTHEST = 3;

/** Places on a line so many to the distance that lines need. */
const PLACES = 4;

/** A line of points in order, closed or open, with places on it as far apart as it takes for the distance that lines need. */
export function fieldLine(x: ArrayLike<number>, y: ArrayLike<number>, distance: number): FieldLine {
  const length = lengthOf(x, y);
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

/**
 * Which lines run beside which.
 *
 * @param distance from middle to middle that two lines need; three times as far is looked
 * @param doMeet whether two lines meet: those are lines of one field only where both are long, else they are one figure
 * @returns by line: those beside it, both ways
 */
export function linesBeside(
  lines: readonly FieldLine[],
  distance: number,
  doMeet: (one: number, other: number) => boolean,
): readonly (readonly Beside[])[] {
  const reach = FURTHEST * distance;
  const cells = cellsOf(lines, reach);
  const found: Beside[][] = lines.map(() => []);
  lines.forEach((own, line) => {
    for (const [other, offs] of nearestOf(own, line, lines, cells, reach)) {
      const longer = lines[other].length - own.length;
      // The shorter one looks; of two that are as long, the first one.
      if (longer < 0 || (longer === 0 && other < line)) continue;
      if (own.length < LONG * distance && doMeet(line, other)) continue;
      const share = offs.length / own.x.length;
      const away = offs.reduce((sum, off) => sum + off, 0) / offs.length;
      found[line].push({ line: other, share, away });
      found[other].push({ line, share, away });
    }
  });
  return found;
}

/**
 * The fields of lines that are too near each other, two lines or more, and which of them stay: from a first one on always the
 * one that lies nearest to those that stay and has room beside them (as R. C. Prim grows a tree, Bell System Technical
 * Journal 36, 1957). Several first ones and distances are tried, and the way in which most stay, evenly, is taken.
 *
 * @param isTooNear whether two lines side by side are of one field
 * @param hasRoom whether both may stay
 */
export function lineFields(
  lines: readonly FieldLine[],
  beside: readonly (readonly Beside[])[],
  isTooNear: (line: number, one: Beside) => boolean,
  hasRoom: (line: number, one: Beside) => boolean,
): LineField[] {
  const near = beside.map((list, line) =>
    list.filter((one) => one.share >= MOSTLY && isTooNear(line, one)),
  );
  return componentsOf(near)
    .filter(({ length }) => length > 1)
    .map((field) => ({ lines: field, staying: spacedOut(field, lines, beside, hasRoom) }));
}

/** Times the distance that lines need: kept further apart, as many may be spread more evenly. */
const SPREADS = [1, 1.1, 1.2, 1.35, 1.5, 1.7, 1.9];
/** Of larger fields only the longest line is tried as the first one that stays: their borders matter less. */
const SMALL_FIELD = 40;

/** Which lines of a field stay: as many as have room, so that what goes lies as near to them as can be. */
function spacedOut(
  field: readonly number[],
  lines: readonly FieldLine[],
  beside: readonly (readonly Beside[])[],
  hasRoom: (line: number, one: Beside) => boolean,
): ReadonlySet<number> {
  const byLength = field.toSorted((a, b) => lines[b].length - lines[a].length || a - b);
  const firsts = field.length > SMALL_FIELD ? byLength.slice(0, 1) : byLength;
  const ways = firsts.flatMap((first) =>
    SPREADS.map((times) => {
      const isFar = (line: number, one: Beside): boolean =>
        hasRoom(line, { ...one, away: one.away / times });
      const staying = packed(first, byLength, beside, isFar);
      return { staying, off: offFrom(staying, field, beside) };
    }),
  );
  return ways.reduce((best, way) => {
    const more = way.staying.size - best.staying.size;
    return more > 0 || (more === 0 && way.off < best.off) ? way : best;
  }).staying;
}

/** How far those that go lie from the nearest one that stays: the sum of the squares. */
function offFrom(
  staying: ReadonlySet<number>,
  field: readonly number[],
  beside: readonly (readonly Beside[])[],
): number {
  return field
    .filter((line) => !staying.has(line))
    .reduce((sum, line) => {
      const near = beside[line].filter(({ line: other, share }) => share >= MOSTLY && staying.has(other)); // prettier-ignore
      return sum + Math.min(...near.map(({ away }) => away)) ** 2;
    }, 0);
}

/** Lines that have room, from a first one on: each time the one next to those that stay already, and not too near to any. */
function packed(
  first: number,
  byLength: readonly number[],
  beside: readonly (readonly Beside[])[],
  hasRoom: (line: number, one: Beside) => boolean,
): ReadonlySet<number> {
  const staying = new Set<number>();
  const open = new Set(byLength);
  const away = new Map([[first, 0]]);
  while (open.size > 0) {
    const next = nearestOpen(open, away);
    staying.add(next);
    open.delete(next);
    for (const one of beside[next]) {
      if (one.share < MOSTLY) continue;
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
function componentsOf(tooNear: readonly (readonly Beside[])[]): number[][] {
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

type Cells = ReadonlyMap<string, readonly (readonly [line: number, place: number])[]>;

const cellAt = (x: number, y: number, size: number): readonly [number, number] => [
  Math.floor(x / size),
  Math.floor(y / size),
];

function cellsOf(places: readonly FieldLine[], size: number): Cells {
  const cells = new Map<string, (readonly [number, number])[]>();
  places.forEach(({ x, y }, line) => {
    for (let k = 0; k < x.length; k++) {
      const key = cellAt(x[k], y[k], size).join();
      const cell = cells.get(key);
      if (cell) cell.push([line, k]);
      else cells.set(key, [[line, k]]);
    }
  });
  return cells;
}

/** By other line: how far it is beside each place of this one that has it beside it. */
function nearestOf(
  own: FieldLine,
  line: number,
  places: readonly FieldLine[],
  cells: Cells,
  reach: number,
): ReadonlyMap<number, number[]> {
  const found = new Map<number, number[]>();
  for (let k = 0; k < own.x.length; k++) {
    const [column, row] = cellAt(own.x[k], own.y[k], reach);
    const least = new Map<number, number>();
    for (let r = row - 1; r <= row + 1; r++)
      for (let c = column - 1; c <= column + 1; c++)
        for (const [other, at] of cells.get(`${c},${r}`) ?? []) {
          if (other === line) continue;
          const off = offBeside(own, k, places[other], at, reach);
          if (off < (least.get(other) ?? reach)) least.set(other, off);
        }
    for (const [other, off] of least) found.set(other, [...(found.get(other) ?? []), off]);
  }
  return found;
}

/** How far a place lies beside another one's line; Infinity where it does not, but goes on from it or across. */
function offBeside(own: FieldLine, k: number, other: FieldLine, at: number, reach: number): number {
  const [vx, vy] = [other.x[at] - own.x[k], other.y[at] - own.y[k]];
  const off = Math.hypot(vx, vy);
  if (off >= reach) return Infinity;
  const alike = Math.abs(own.dx[k] * other.dx[at] + own.dy[k] * other.dy[at]);
  const ahead = Math.abs(vx * own.dx[k] + vy * own.dy[k]);
  return alike >= ALIKE && ahead <= off / 2 ? off : Infinity;
}
