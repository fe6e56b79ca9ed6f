import type { Point } from '../../geometry/shape.js';
import type { ErodedFilm } from './eroded-film.js';
import { isOpenAt } from './lines.js';

/**
 * A dead end that a strip leaves of the opening that it crosses: from the strip's side to where the opening meets
 * another, at a corner of the film on one of its walls or on both. In px.
 */
export interface Stub {
  /** Where it opens, at the wall by the strip's start and at the one by its end. */
  readonly mouth: readonly [Point, Point];
  /** How far its mouth is from the strip's side, in the mean. */
  readonly length: number;
}

/** What is seen of a strip, in px, and its width. */
export interface SeenStrip {
  readonly from: Point;
  readonly to: Point;
  readonly width: number;
}

/** Steps along a stub's walls, in px. A wall that turns away by more than `OUT` a step ends there at a corner. */
const STEP = 2;
const OUT = 2.5;
/** So much of it a wall may lie further in, or further out at the strip's side, in px: what flares and pixels move it. */
const IN = 4;
/**
 * How far a stub's wall may lie beyond the straight way along it, in px. One that has turned away by a larger share of its
 * length before it is lost is the bend of a line, not a corner.
 */
const BOWED_PX = 2;
const BENT = 0.35;
/** Behind a corner there is another opening when one can go on so far to that side, in mm, that much further on. */
const BRANCH_MM = 1;
const PAST_MM = 0.4;
/** Where its edge is looked at beyond the corner, which is rounded, in mm, and how much it may slant. */
const EDGE_MM = [0.5, 1] as const;
const STEEPEST = 2;

/** The stub on one side of a strip, when it is no longer than `most` px. */
export function stubBeside(
  film: ErodedFilm,
  { from, to, width }: SeenStrip,
  side: -1 | 1,
  most: number,
): Stub | undefined {
  const gap = Math.hypot(to.x - from.x, to.y - from.y);
  if (gap === 0) return undefined;
  const [ux, uy] = [(to.x - from.x) / gap, (to.y - from.y) / gap];
  const place = (along: number, off: number): Point => ({
    x: from.x + along * ux - side * off * uy,
    y: from.y + along * uy + side * off * ux,
  });
  const isOpen = (along: number, off: number): boolean => {
    const { x, y } = place(along, off);
    return isOpenAt(film, x, y);
  };
  const limits = { first: width / 2, last: width / 2 + most + gap, gap };
  const walls = [-1, 1].map((out) => {
    const start = out < 0 ? 0 : gap;
    return followed((away, off) => isOpen(start + out * away, off), limits, film.pixelsPerMm);
  });
  const [first, second] = walls.map(({ corner }) => corner);
  const nearest = second && (!first || second.off < first.off) ? second : first;
  if (!nearest) return undefined;
  const mouth: Point[] = [];
  let length = 0;
  for (const [k, wall] of walls.entries()) {
    // A corner much further on belongs to something else: then the stub ends where the edge behind the nearer one meets the wall.
    const isNear = wall.corner && wall.corner.off <= nearest.off + gap;
    const end = isNear ? wall.corner : wall.meets((away) => nearest.off - nearest.slope * (gap + away + nearest.away)); // prettier-ignore
    if (!end) return undefined;
    mouth.push(place(k === 0 ? -end.away : gap + end.away, end.off));
    length += (end.off - width / 2) / 2;
  }
  const ahead = { x: -side * uy, y: side * ux };
  const isStub = length <= most && meetsLine(film, [mouth[0], mouth[1]], ahead, gap);
  return isStub ? { mouth: [mouth[0], mouth[1]], length } : undefined;
}

/** Beyond a stub's mouth film is looked for in so many directions, as far as the stub is wide so many times. */
const DIRECTIONS = 7;
const LINE_WIDTHS = 2;

/** Whether what a stub's mouth opens into is a line, not a large opening: then film is near ahead, or at an angle. */
function meetsLine(film: ErodedFilm, [a, b]: Stub['mouth'], ahead: Point, gap: number): boolean {
  const [x, y] = [(a.x + b.x) / 2, (a.y + b.y) / 2];
  for (let k = 1; k < DIRECTIONS; k++) {
    const angle = (k / DIRECTIONS - 0.5) * Math.PI;
    const [c, s] = [Math.cos(angle), Math.sin(angle)];
    const [dx, dy] = [c * ahead.x - s * ahead.y, s * ahead.x + c * ahead.y];
    for (let on = STEP; on <= LINE_WIDTHS * gap; on++) {
      if (!isOpenAt(film, x + on * dx, y + on * dy)) return true;
    }
  }
  return false;
}

/** A place beside a strip: how far further out than the strip's end, and how far off its middle line, in px. */
interface Aside {
  readonly away: number;
  readonly off: number;
}

/** A corner of the film, and by how much further off its edge lies a px further out. */
interface Corner extends Aside {
  readonly slope: number;
}

/** One wall of an opening beside a strip. */
interface Wall {
  /** Where the wall turns away from the opening. */
  readonly corner: Corner | undefined;
  /** The first place on it that lies on or beyond a line, which is told by how far off it is. */
  readonly meets: (line: (away: number) => number) => Aside | undefined;
}

type OpenTest = (away: number, off: number) => boolean;

function followed(
  isOpen: OpenTest,
  { first, last, gap }: { readonly first: number; readonly last: number; readonly gap: number },
  pixelsPerMm: number,
): Wall {
  const places: Aside[] = [];
  const wall = (corner?: Corner): Wall => ({
    corner,
    meets: (line) => places.find(({ away, off }) => off >= line(away)),
  });
  let at = 0;
  for (let off = first; off <= last; off += STEP) {
    const out = places.length === 0 ? IN : OUT;
    const was = at;
    if (isOpen(at, off)) {
      while (at <= was + out && isOpen(at + 0.5, off)) at += 0.5;
      if (at > was + out) {
        const isBend = was > BENT * (off - first) + BOWED_PX;
        return wall(isBend ? undefined : cornerAt(isOpen, was, off, first, pixelsPerMm));
      }
    } else {
      while (at >= was - IN && !isOpen(at, off)) at -= 0.5;
      if (at < was - IN || at < -gap) break;
    }
    places.push({ away: at, off });
  }
  return wall();
}

/** The corner at which a wall turns away, if another opening begins behind it: where that one's edge meets the wall. */
function cornerAt(
  isOpen: OpenTest,
  away: number,
  off: number,
  first: number,
  pixelsPerMm: number,
): Corner | undefined {
  const past = off + PAST_MM * pixelsPerMm;
  for (let on = 0; on <= BRANCH_MM * pixelsPerMm; on++) {
    if (!isOpen(away + on, past)) return undefined;
  }
  const [near, far] = EDGE_MM.map((on) => {
    let at = past;
    while (at > first - past && isOpen(away + on * pixelsPerMm, at - 0.5)) at -= 0.5;
    return at;
  });
  const slope = (far - near) / ((EDGE_MM[1] - EDGE_MM[0]) * pixelsPerMm);
  const corner = near - slope * EDGE_MM[0] * pixelsPerMm;
  if (Math.abs(slope) > STEEPEST) return { away, off: Math.max(first, off - STEP), slope: 0 };
  return { away, off: Math.min(Math.max(first, corner), past), slope };
}
