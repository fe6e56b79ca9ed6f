import { flatten } from '../geometry/flatten.js';
import { turnedBack } from '../geometry/outline.js';
import { isInside, unionNonZero, type Region } from '../geometry/boolean-operations.js';
import { pointToSegment } from '../geometry/segment.js';
import { signedArea } from '../geometry/signed-area.js';
import type { Outline } from '../geometry/shape.js';
import type { Font } from './font.js';

/** A glyph's ink, in ems, y down. */
export interface Ink {
  /** Its contours, the outer ones forward: they may overlap. */
  readonly outlines: readonly Outline[];
  /** What they enclose, as polygons: the parts of the letter, with its counters as holes. */
  readonly regions: readonly Region[];
  /** By contour: the part that it belongs to. */
  readonly partOf: readonly number[];
}

/** How far the polygons may lie off the curves, in ems: a hundredth of a millimetre on letters of 10 mm. */
const TOLERANCE = 0.001;

/**
 * Booleans count in ten-thousandths of a unit; glyphs are enlarged for them to about the size that they are cut in.
 */
const ENLARGED = 100;

const drawn = new WeakMap<Font, Map<number, Ink>>();

/** A glyph's ink; each is worked out once. */
export function inkOf(face: Font, glyph: number): Ink {
  const known = drawn.get(face) ?? new Map<number, Ink>();
  drawn.set(face, known);
  const found = known.get(glyph);
  if (found) return found;
  const made = makeInk(face.outlines(glyph));
  known.set(glyph, made);
  return made;
}

function makeInk(contours: readonly Outline[]): Ink {
  const area = contours.reduce((sum, contour) => sum + signedArea(flatten(contour, TOLERANCE)), 0);
  // Outer contours turn one way in TrueType and the other in PostScript fonts.
  const outlines = area < 0 ? contours.map(turnedBack) : contours;
  const polygons = outlines.map((outline) => flatten(outline, TOLERANCE));
  const regions = unionNonZero(polygons.map((polygon) => polygon.map((value) => ENLARGED * value)))
    .filter(({ outer }) => signedArea(outer) > LEAST_PART)
    .map(({ outer, holes }) => ({
      outer: inEms(outer),
      holes: holes.filter((hole) => Math.abs(signedArea(hole)) > LEAST_PART).map(inEms),
    }));
  return { outlines, regions, partOf: polygons.map((polygon) => homeOf(polygon, regions)) };
}

/** What contours that cross leave between them is no part and no counter, in enlarged units: 0.1 mm on 10 mm letters. */
const LEAST_PART = 1;

/** What numbers that are not exact in binary may be off by. */
const ROUNDING = 1e-6;

const inEms = (loop: Float64Array): Float64Array => loop.map((value) => value / ENLARGED);

function homeOf(polygon: Float64Array, regions: readonly Region[]): number {
  let best = { part: 0, off: Infinity };
  regions.forEach(({ outer }, part) => {
    const off = isInside(outer, polygon[0], polygon[1]) ? 0 : distanceToLoop(outer, polygon);
    if (off < best.off - ROUNDING) best = { part, off };
  });
  return best.part;
}

function distanceToLoop(loop: Float64Array, [x, y]: Float64Array): number {
  let least = Infinity;
  for (let i = 0; i < loop.length; i += 2) {
    const j = (i + 2) % loop.length;
    const off = pointToSegment(
      { x, y },
      { x: loop[i], y: loop[i + 1] },
      { x: loop[j], y: loop[j + 1] },
    );
    least = Math.min(least, off);
  }
  return least;
}
