import { turnedBack, writeLine } from '../geometry/outline.js';
import { signedArea } from '../geometry/signed-area.js';
import type { Outline, Point } from '../geometry/shape.js';
import type { Font } from './font.js';
import type { SetLine } from './typeset.js';

/** Points nearer than this, in ems, are one. */
const SAME = 1e-6;
/** At a sharp corner an outline moves so many times as far as at a straight side, and no further. */
const MOST_MITRE = 2.5;

/**
 * The same lines in heavier letters: every stroke is thicker by so many ems, and stands where it stood. Straight sides
 * stay straight, and a round stays as round as it is.
 */
export function heavierLines(lines: readonly SetLine[], by: number): SetLine[] {
  const made = new Map<Font, Font>();
  const own = (face: Font): Font => {
    const known = made.get(face) ?? heavier(face, by);
    made.set(face, known);
    return known;
  };
  return lines.map((line) => ({
    ...line,
    glyphs: line.glyphs.map((glyph) => ({ ...glyph, face: own(glyph.face) })),
  }));
}

function heavier(face: Font, by: number): Font {
  const drawn = new Map<number, readonly Outline[]>();
  return {
    ...face,
    outlines: (glyph) => {
      const known = drawn.get(glyph);
      if (known) return known;
      const made = grown(face.outlines(glyph), by / 2);
      drawn.set(glyph, made);
      return made;
    },
  };
}

/** A glyph's contours, moved outward from its ink. */
function grown(contours: readonly Outline[], by: number): Outline[] {
  const area = contours.reduce((sum, { coords }) => sum + signedArea(coords), 0);
  // Outer contours turn one way in TrueType and the other in PostScript fonts.
  return contours.map((contour) =>
    area < 0 ? turnedBack(offsetOutline(turnedBack(contour), by)) : offsetOutline(contour, by),
  );
}

/**
 * An outline moved to its outer side: each leg of its control polygon by itself, so that legs meet anew (Tiller & Hanson
 * 1984). As exact as is needed for a fraction of a stroke.
 */
function offsetOutline(outline: Outline, by: number): Outline {
  const { coords, straight } = outline;
  const points: Point[] = [];
  /** By point of the outline: its place among those of the polygon. */
  const places: number[] = [];
  for (let i = 0; i < straight.length; i++) {
    for (let k = 0; k < 3; k++) {
      const at = { x: coords[6 * i + 2 * k], y: coords[6 * i + 2 * k + 1] };
      // A straight side's inner points follow from its ends.
      const isNew = !(straight[i] === 1 && k > 0) && !isSamePoint(points.at(-1), at);
      if (isNew) points.push(at);
      places.push(points.length - 1);
    }
  }
  const isClosed = points.length > 1 && isSamePoint(points.at(-1), points[0]);
  if (isClosed) points.pop();
  const made = points.map((at, i) =>
    pushed(at, points.at(i - 1)!, points[(i + 1) % points.length], by),
  );
  const own = new Float64Array(coords.length);
  places.forEach((place, i) => {
    const { x, y } = made[place % made.length];
    own.set([x, y], 2 * i);
  });
  for (let i = 0; i < straight.length; i++) {
    if (straight[i] === 0) continue;
    const next = (6 * (i + 1)) % own.length;
    const [from, to] = [6 * i, next].map((k) => ({ x: own[k], y: own[k + 1] }));
    writeLine(own, 6 * i, from, to);
  }
  return { ...outline, coords: own };
}

const isSamePoint = (a: Point | undefined, b: Point): boolean =>
  a !== undefined && Math.abs(a.x - b.x) < SAME && Math.abs(a.y - b.y) < SAME;

/** A corner of a polygon whose legs move outward. */
function pushed(at: Point, before: Point, after: Point, by: number): Point {
  const [a, b] = [normal(before, at), normal(at, after)];
  const [x, y] = [a.x + b.x, a.y + b.y];
  const length = Math.hypot(x, y);
  // Back on itself, as at the tip of a needle.
  if (length < SAME) return { x: at.x + by * a.x, y: at.y + by * a.y };
  const off = by * Math.min(2 / length, MOST_MITRE);
  return { x: at.x + (off * x) / length, y: at.y + (off * y) / length };
}

/** One long, to the outer side of a leg whose outline encloses a positive area, y down. */
function normal(from: Point, to: Point): Point {
  const [dx, dy] = [to.x - from.x, to.y - from.y];
  const length = Math.hypot(dx, dy);
  return { x: dy / length, y: -dx / length };
}
