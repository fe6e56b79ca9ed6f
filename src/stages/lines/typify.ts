import { evenly, lengthOf } from '../../geometry/chain.js';
import { GOES_ON, turnsIn } from '../../geometry/continuation.js';
import { trailsThrough } from '../../graphs/trails.js';
import type { CentreEdge, CentrelineGraph } from '../../raster/centreline-graph.js';

/** A graph of lines that there is room for. */
export interface Typified {
  readonly graph: CentrelineGraph;
  /** Lines that there was no room for. */
  readonly dropped: number;
  /** Lines that stay and lie on each other when they are drawn, two and two. */
  readonly pairs: number;
}

/** Places on a line so many to the distance that lines need. */
const PLACES = 4;
/** Lines run side by side where their directions differ by less: cos 30°. */
const ALIKE = Math.cos(Math.PI / 6);
/** A line runs beside another when this share of the shorter one does: then the eye takes them for lines of one field. */
const MOSTLY = 0.6;
/** Two lines alone are drawn as one by what comes after; from three on they are a field. */
const FIELD = 3;
/** Lines that meet are lines of a field only when both are so many of the distances long: else they are one figure. */
const LONG = 3;
/** How far one kept line is looked for from the next, in the distances that lines need. */
const FURTHEST = 3;

/** Places on a line, and its direction at each. */
interface Places {
  readonly x: Float64Array;
  readonly y: Float64Array;
  readonly dx: Float64Array;
  readonly dy: Float64Array;
}

/** By two lines: the share of the shorter one's places that have the other beside them, and how far off on average. */
interface Beside {
  readonly line: number;
  readonly share: number;
  readonly away: number;
}

/** A line as the eye follows it. */
interface Line extends Places {
  readonly edges: readonly number[];
  readonly nodes: ReadonlySet<number>;
  readonly length: number;
}

/**
 * Thins out fields of lines that run side by side nearer than they can be drawn: of a hatching every second or third
 * line stays, so that it is a hatching still and no mass.
 *
 * Map makers call it typification (McMaster & Shea, "Generalization in digital cartography", Association of American
 * Geographers, 1992). The longest line of a field stays, then always the one that lies nearest to those that stay and
 * has room beside them (as R. C. Prim grows a tree, Bell System Technical Journal 36, 1957).
 *
 * @param distance from middle to middle that two lines need, in the graph's unit
 * @param width of a line, in the graph's unit
 */
export function typified(whole: CentrelineGraph, distance: number, width: number): Typified {
  const graph = withTurnsApart(whole, distance);
  const lines = linesIn(graph, whole.nodes.length, distance, width);
  const beside = neighbours(lines, distance);
  const isTooNear = ({ share, away }: Beside): boolean => share >= MOSTLY && away < distance;
  const isOn = (one: Beside): boolean => isTooNear(one) && one.away < (width + distance) / 2;
  const gone = new Set<number>();
  let [dropped, pairs] = [0, 0];
  for (const field of fieldsOf(beside.map((list) => list.filter(isTooNear)))) {
    if (field.length < FIELD) {
      pairs += Number(field.some((line) => beside[line].some(isOn)));
      continue;
    }
    const staying = spacedOut(field, lines, beside, isTooNear);
    dropped += field.length - staying.size;
    for (const line of field)
      if (!staying.has(line)) for (const edge of lines[line].edges) gone.add(edge);
  }
  if (gone.size === 0) return { graph: whole, dropped, pairs };
  const edges = graph.edges.filter((_, edge) => !gone.has(edge));
  return { graph: { nodes: graph.nodes, edges }, dropped, pairs };
}

/** Parts lines that wind round beside themselves, as a spiral does, into turns: each a line of a field. */
function withTurnsApart({ nodes, edges }: CentrelineGraph, distance: number): CentrelineGraph {
  const more = [...nodes];
  const apart = edges.flatMap((edge): CentreEdge[] => {
    const ends = turnEnds(edge, distance / 2);
    if (edge.from === edge.to || ends.length === 0) return [edge];
    const cuts = [0, ...ends, edge.x.length - 1];
    const at = cuts.map((k, cut) => {
      if (cut === 0) return edge.from;
      if (cut === cuts.length - 1) return edge.to;
      return more.push({ x: edge.x[k], y: edge.y[k], halfWidth: nodes[edge.from].halfWidth }) - 1;
    });
    return cuts.slice(1).map((end, cut) => ({
      from: at[cut],
      to: at[cut + 1],
      x: edge.x.slice(cuts[cut], end + 1),
      y: edge.y.slice(cuts[cut], end + 1),
    }));
  });
  return { nodes: more, edges: apart };
}

/** The points of a line at which it has wound round once, twice and so on, by its direction over even steps. */
function turnEnds({ x, y }: CentreEdge, step: number): number[] {
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

/** The lines of a graph as the eye follows them: over nodes where they go straight on, but for those that part turns. */
function linesIn(
  { nodes, edges }: CentrelineGraph,
  parting: number,
  distance: number,
  width: number,
): Line[] {
  const turn = turnsIn(edges, width);
  const trails = trailsThrough(nodes.length, edges, turn, () => Infinity);
  type Step = (typeof trails)[number]['steps'][number];
  const begins = ({ edge, isForward }: Step) => (isForward ? edges[edge].from : edges[edge].to);
  const leaving = ({ edge, isForward }: Step) => 2 * edge + Number(isForward);
  const entering = ({ edge, isForward }: Step) => 2 * edge + Number(!isForward);
  const groups = trails.flatMap(({ steps }) => {
    const parts: Step[][] = [];
    steps.forEach((step, k) => {
      const last = steps[k - 1];
      const goesOn =
        last && begins(step) < parting && turn(leaving(last), entering(step)) < GOES_ON;
      if (goesOn) parts[parts.length - 1].push(step);
      else parts.push([step]);
    });
    return parts;
  });
  return groups.map((steps): Line => {
    const ways = steps.map(({ edge, isForward }) => {
      const { x, y } = edges[edge];
      return isForward ? { x, y } : { x: x.toReversed(), y: y.toReversed() };
    });
    const [x, y] = [ways.flatMap((way) => way.x), ways.flatMap((way) => way.y)];
    const length = lengthOf(x, y);
    return {
      ...placesOn(x, y, length, distance / PLACES),
      edges: steps.map(({ edge }) => edge),
      nodes: new Set(steps.flatMap(({ edge }) => [edges[edge].from, edges[edge].to])),
      length,
    };
  });
}

/** Which lines of a field stay: each time the one next to those that stay already, and not too near to any. */
function spacedOut(
  field: readonly number[],
  lines: readonly Line[],
  beside: readonly (readonly Beside[])[],
  isTooNear: (one: Beside) => boolean,
): ReadonlySet<number> {
  const staying = new Set<number>();
  const open = new Set(field);
  const away = new Map<number, number>();
  for (;;) {
    const next = [...open].toSorted(
      (a, b) =>
        (away.get(a) ?? Infinity) - (away.get(b) ?? Infinity) ||
        lines[b].length - lines[a].length ||
        a - b,
    )[0];
    if (next === undefined) return staying;
    staying.add(next);
    open.delete(next);
    for (const one of beside[next]) {
      if (isTooNear(one)) open.delete(one.line);
      else if (one.share >= MOSTLY)
        away.set(one.line, Math.min(one.away, away.get(one.line) ?? Infinity));
    }
  }
}

/** Lines that hang together by being too near, each as a field. */
function fieldsOf(tooNear: readonly (readonly Beside[])[]): number[][] {
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

/** By line: those that run beside it, both ways. */
function neighbours(lines: readonly Line[], distance: number): readonly (readonly Beside[])[] {
  const reach = FURTHEST * distance;
  const cells = cellsOf(lines, reach);
  const found: Beside[][] = lines.map(() => []);
  lines.forEach((own, line) => {
    for (const [other, offs] of nearestOf(own, line, lines, cells, reach)) {
      const longer = lines[other].length - own.length;
      // The shorter one looks; of two that are as long, the first one.
      if (longer < 0 || (longer === 0 && other < line)) continue;
      if (own.length < LONG * distance && doMeet(own, lines[other])) continue;
      const share = offs.length / own.x.length;
      const away = offs.reduce((sum, off) => sum + off, 0) / offs.length;
      found[line].push({ line: other, share, away });
      found[other].push({ line, share, away });
    }
  });
  return found;
}

const doMeet = (one: Line, other: Line): boolean =>
  [...one.nodes].some((node) => other.nodes.has(node));

type Cells = ReadonlyMap<string, readonly (readonly [line: number, place: number])[]>;

const cellAt = (x: number, y: number, size: number): readonly [number, number] => [
  Math.floor(x / size),
  Math.floor(y / size),
];

function cellsOf(places: readonly Places[], size: number): Cells {
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
  own: Places,
  line: number,
  places: readonly Places[],
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
function offBeside(own: Places, k: number, other: Places, at: number, reach: number): number {
  const [vx, vy] = [other.x[at] - own.x[k], other.y[at] - own.y[k]];
  const off = Math.hypot(vx, vy);
  if (off >= reach) return Infinity;
  const alike = Math.abs(own.dx[k] * other.dx[at] + own.dy[k] * other.dy[at]);
  const ahead = Math.abs(vx * own.dx[k] + vy * own.dy[k]);
  return alike >= ALIKE && ahead <= off / 2 ? off : Infinity;
}

function placesOn(
  x: readonly number[],
  y: readonly number[],
  length: number,
  step: number,
): Places {
  const steps = Math.max(2, Math.round(length / step));
  const at = evenly(Float64Array.from(x), Float64Array.from(y), steps);
  const n = steps + 1;
  const [dx, dy] = [new Float64Array(n), new Float64Array(n)];
  for (let k = 0; k < n; k++) {
    const [a, b] = [Math.max(0, k - 1), Math.min(steps, k + 1)];
    const along = Math.hypot(at.x[b] - at.x[a], at.y[b] - at.y[a]) || 1;
    dx[k] = (at.x[b] - at.x[a]) / along;
    dy[k] = (at.y[b] - at.y[a]) / along;
  }
  return { ...at, dx, dy };
}
