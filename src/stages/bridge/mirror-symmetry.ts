import type { Bitmap } from '../../raster/raster.js';
import { decimated } from '../../raster/decimation.js';
import type { ErodedFilm } from './eroded-film.js';
import type { LineSegment } from './lines.js';
import { edgesAlong, tiesOf, type CandidateEdge, type Tie, type TieLimits } from './tie.js';

/** The axis is looked for in steps of so many mm first, and so far from the middle of what is cut; then to the pixel. */
const STEP_MM = 1;
const OFF_MM = 4;
/** The halves mirror each other where so much of the openings, and of the film between them, lies on its mirror image … */
const LIKE: Like = { opening: 0.85, film: 0.6 };
/** … and may do so where it is so much of the openings in the coarse steps. */
const MAY_BE_LIKE = 0.5;
/** Among more parts than this nobody looks for a part's mirror image, and the search would take time. */
const CROWD = 200;

/**
 * Where the left and the right half of a stencil mirror each other: the sum, in px, of the x of a place and of its
 * mirror image. Both the openings and the film between them do. Undefined where they do not, and where there is a crowd
 * of parts.
 */
export function findMirrorAxis({ bitmap, pixelsPerMm, count }: ErodedFilm): number | undefined {
  if (count > CROWD) return undefined;
  const step = Math.max(1, Math.round(STEP_MM * pixelsPerMm));
  const coarse = decimated(bitmap, step);
  const middle = meanColumn(coarse);
  if (middle === undefined) return undefined;
  const near = bestAxis(coarse, Math.round(2 * middle), Math.round((2 * OFF_MM) / STEP_MM));
  if (near.like.opening < MAY_BE_LIKE) return undefined;
  const rows = decimated(bitmap, 1, step);
  const { columns, like } = bestAxis(rows, step * (near.columns + 1) - 1, (step >> 1) + 1);
  if (like.opening < LIKE.opening || like.film < LIKE.film) return undefined;
  // Pixels are half a pixel further right than their column's number.
  return columns + 1;
}

/** The mean column of the openings; undefined without any. */
function meanColumn({ width, data }: Bitmap): number | undefined {
  let [sum, count] = [0, 0];
  for (let i = 0; i < data.length; i++) {
    sum += data[i] * (i % width);
    count += data[i];
  }
  return count > 0 ? sum / count : undefined;
}

/** How much of what is there lies on its mirror image, from 0 to 1. */
interface Like {
  readonly opening: number;
  /** The film between openings, row by row. */
  readonly film: number;
}

/** An axis, as the sum of two columns that mirror each other. */
interface Axis {
  readonly columns: number;
  readonly like: Like;
}

/** The axis that most of the openings agree with. */
function bestAxis(bitmap: Bitmap, guess: number, reach: number): Axis {
  let best: Axis = { columns: guess, like: { opening: 0, film: 0 } };
  for (let columns = guess - reach; columns <= guess + reach; columns++) {
    const like = likeness(bitmap, columns);
    if (like.opening > best.like.opening) best = { columns, like };
  }
  return best;
}

function likeness({ width, height, data }: Bitmap, columns: number): Like {
  const opening = { both: 0, either: 0 };
  const film = { both: 0, either: 0 };
  for (let row = 0; row < height * width; row += width) {
    const first = data.indexOf(1, row) - row;
    if (first < 0 || first >= width) continue;
    const last = data.lastIndexOf(1, row + width - 1) - row;
    for (let x = Math.min(first, columns - last); x <= Math.max(last, columns - first); x++) {
      const image = columns - x;
      const a = x >= 0 && x < width ? data[row + x] : 0;
      const b = image >= 0 && image < width ? data[row + image] : 0;
      opening.both += a & b;
      opening.either += a | b;
      film.both += 1 - (a | b);
      film.either += 1 - (a & b);
    }
  }
  return { opening: shareOf(opening), film: shareOf(film) };
}

function shareOf({ both, either }: { readonly both: number; readonly either: number }): number {
  return either > 0 ? both / either : 1;
}

/**
 * Ties and their mirror images, the two of a pair at the mean of their costs: what is chosen on one side is then
 * chosen on the other, too, where a person who looks at a moth would have it. Where one of the two alone would do, they
 * cost more, and the way along the axis is there as well.
 *
 * @param axis what `findMirrorAxis` gave
 */
export function pairMirroredTies(
  film: ErodedFilm,
  ties: readonly Tie[],
  axis: number,
  limits: TieLimits,
): Tie[] {
  const pairs = pairsOf(film, ties, axis, limits);
  const axisMm = axis / film.pixelsPerMm;
  const alone = new Set(pairs.filter(({ tie, image }) => image && isLone(tie, image, axisMm)));
  const weighed = pairs.flatMap((each, pair) => {
    const { tie, image } = each;
    if (!image) return [tie];
    const cost = ((alone.has(each) ? LONE : 1) * (tie.cost + image.cost)) / 2;
    return [
      { ...tie, cost, pair },
      { ...image, cost, pair },
    ];
  });
  const along = [...alone].flatMap(({ tie }) => edgesOnAxis(film, tie, axis));
  return [...weighed, ...tiesOf(film, distinct(along), limits)];
}

/** A tie and its mirror image, if there is one. */
interface Pair {
  readonly tie: Tie;
  readonly image: Tie | undefined;
}

/**
 * Of the ties between two parts those are mirrored that cost so many times as much as the best at most: dearer ones are
 * hardly chosen, and mirroring takes time.
 */
const NEARLY_BEST = 1.5;
/**
 * A tie and its image may cost so many times as much as each other at most: else they cross unlike places, and a pair
 * would do damage on one side.
 */
const UNLIKE = 1.5;

function pairsOf(film: ErodedFilm, ties: readonly Tie[], axis: number, limits: TieLimits): Pair[] {
  const least = leastByParts(ties);
  const edges = ties.map((tie) =>
    tie.cost <= NEARLY_BEST * least(tie) ? mirroredEdge(film, tie, axis) : undefined,
  );
  const there = edges.filter((edge) => edge !== undefined);
  const images = tiesOf(film, there, limits).values();
  return ties.map((tie, k) => {
    const image = edges[k] && images.next().value;
    return { tie, image: image && isAlike(tie, image) ? image : undefined };
  });
}

function isAlike(a: Tie, b: Tie): boolean {
  const [less, more] = [Math.min(a.cost, b.cost), Math.max(a.cost, b.cost)];
  return a.followsNeck === b.followsNeck && more <= UNLIKE * less;
}

/** The least that any tie between the same two parts costs. */
function leastByParts(ties: readonly Tie[]): (tie: Tie) => number {
  const least = new Map<string, number>();
  for (const tie of ties) {
    const parts = partsJoined(tie);
    least.set(parts, Math.min(tie.cost, least.get(parts) ?? Infinity));
  }
  return (tie) => least.get(partsJoined(tie))!;
}

/** Names the two parts that a tie joins, whichever way it runs. */
function partsJoined({ from, to }: Tie): string {
  return from < to ? `${from} ${to}` : `${to} ${from}`;
}

/**
 * A tie that leaves the halves unlike counts as so many times dearer: symmetry is worth a somewhat longer bridge, not a
 * far longer one.
 */
const LONE = 1.3;
/** A tie whose image is no further off than this, in mm, is its own image. */
const SAME_MM = 0.5;

/** Whether a tie and its image, another one, join the same two parts, so that one of them alone is wanted. */
function isLone(tie: Tie, image: Tie, axisMm: number): boolean {
  const mirrored = { x: axisMm - tie.start.x, y: tie.start.y };
  const isOwn = [tie.start, tie.end].some(
    ({ x, y }) => Math.hypot(x - mirrored.x, y - mirrored.y) <= SAME_MM,
  );
  return !isOwn && partsJoined(tie) === partsJoined(image);
}

/** Film may begin so much further off on the other side, in mm: halves drawn by hand mirror each other no closer. */
const FURTHER_MM = 1;

/** The way over the gap that mirrors a tie's, if it leads from one core to another there, too. */
function mirroredEdge(
  film: ErodedFilm,
  { start, end }: Tie,
  axis: number,
): CandidateEdge | undefined {
  const { pixelsPerMm } = film;
  const length = Math.hypot(end.x - start.x, end.y - start.y) || 1;
  const further = FURTHER_MM / length;
  const [dx, dy] = [further * (end.x - start.x), further * (end.y - start.y)];
  const edges = edgesOn(film, {
    x0: axis - (start.x - dx) * pixelsPerMm,
    y0: (start.y - dy) * pixelsPerMm,
    x1: axis - (end.x + dx) * pixelsPerMm,
    y1: (end.y + dy) * pixelsPerMm,
  });
  return edges.length === 1 ? edges[0] : undefined;
}

/** The ways along the axis from about where a tie begins to about where it ends, if it is steep enough for that. */
function edgesOnAxis(film: ErodedFilm, { start, end }: Tie, axis: number): CandidateEdge[] {
  const { pixelsPerMm } = film;
  const [top, bottom] = start.y < end.y ? [start, end] : [end, start];
  if (bottom.y - top.y < Math.abs(bottom.x - top.x)) return [];
  const [x0, x1] = [axis / 2, axis / 2];
  const y0 = (top.y - FURTHER_MM) * pixelsPerMm;
  return edgesOn(film, { x0, y0, x1, y1: (bottom.y + FURTHER_MM) * pixelsPerMm });
}

/** The edges of a line; none of one that leaves the sheet. */
function edgesOn(film: ErodedFilm, line: LineSegment): CandidateEdge[] {
  const { width, height } = film.bitmap;
  const { x0, y0, x1, y1 } = line;
  const leaves =
    Math.min(x0, x1, y0, y1) < 0 || Math.max(x0, x1) >= width || Math.max(y0, y1) >= height;
  return leaves ? [] : edgesAlong(film, line);
}

function distinct(edges: readonly CandidateEdge[]): CandidateEdge[] {
  return [
    ...new Map(edges.map((edge) => [`${edge.y0.toFixed(0)} ${edge.y1.toFixed(0)}`, edge])).values(),
  ];
}
