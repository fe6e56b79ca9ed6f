import { insideOfMargin, type Bounds } from '../../geometry/bounding-box.js';
import { flatten } from '../../geometry/flatten.js';
import { copyAt, tilted, type SymmetryPattern } from '../../geometry/fold-pattern.js';
import type { Outline, Shape } from '../../geometry/shape.js';
import { turnedShapes } from '../../geometry/turned-outlines.js';
import { signedArea } from '../../geometry/signed-area.js';
import type { Job } from '../../settings/job.js';
import type { Eased } from '../ease/ease.js';
import type { Traced } from '../trace/trace.js';
import { withTightTurnsMarked } from '../../geometry/tight-turns.js';
import type { Sheet } from '../../settings/card.js';
import { isBeyondMirror, unfoldedShapes } from '../../geometry/unfold-outlines.js';

/** How shapes are laid out on a folded sheet. */
export interface FoldedSheet {
  readonly pattern: SymmetryPattern;
  /** Whether what is kept is cut free all round, as a row of figures is. */
  readonly isFree: boolean;
  /** Mm; where a fold makes a tighter one, a corner is marked. */
  readonly tightestTurn: number;
  /** What openings of a stencil keep to, and a mask, in mm. */
  readonly inside?: Bounds;
}

/**
 * The openings of the whole sheet as one copy of the packet shows them; undefined where parts are turned and what leaves
 * one is not what comes into it.
 */
export function symmetricShapes(
  shapes: readonly Shape[],
  { pattern, isFree, tightestTurn, inside }: FoldedSheet,
  copy: number,
): Shape[] | undefined {
  const marked = (outline: Outline): Outline => withTightTurnsMarked(outline, tightestTurn);
  return opened(shapes, { pattern, isFree, ...(inside && { inside }) }, copy)?.map(
    ({ outer, holes }) => ({
      outer: marked(outer),
      holes: holes.map(marked),
    }),
  );
}

/** A wedge is begun at so many places all round, until what leaves it is what comes in. */
const BEGINNINGS = 36;

/** Patterns that differ in where their first wedge begins; of mirrors there is one. */
export function begunElsewhere(pattern: SymmetryPattern): SymmetryPattern[] {
  if (pattern.beside === 'mirrored') return [pattern];
  const step = 360 / pattern.layers / BEGINNINGS;
  return Array.from({ length: BEGINNINGS }, (_, k) => tilted(pattern, pattern.tilt + k * step));
}

function opened(
  shapes: readonly Shape[],
  { pattern, isFree, inside }: Omit<FoldedSheet, 'tightestTurn'>,
  copy: number,
): Shape[] | undefined {
  const kept = inside && { inside };
  const unfold = pattern.beside === 'turned' ? turnedShapes : unfoldedShapes;
  if (!isFree) return unfold(shapes.flatMap(outlinesOf), pattern, copy, { ...kept });
  // What surrounds a mask is cut away as it is: beyond the packet's margin, and beyond the ends of a strip.
  const around = largest(shapes);
  const inner = shapes.flatMap((shape) => (shape === around ? shape.holes : outlinesOf(shape)));
  return unfold(inner, pattern, copy, { ...(around && { around: around.outer }), ...kept });
}

const outlinesOf = ({ outer, holes }: Shape): readonly Outline[] => [outer, ...holes];

function largest(shapes: readonly Shape[]): Shape | undefined {
  const areas = shapes.map(({ outer }) => Math.abs(signedArea(flatten(outer))));
  return shapes[areas.indexOf(Math.max(...areas))];
}

/** The openings that lie inside a layer, off every fold: scissors can't begin there. */
export function unreached(shapes: readonly Shape[], { pattern }: FoldedSheet): Shape[] {
  return shapes.filter(({ outer }) => {
    const points = flatten(outer);
    const first = copyAt(pattern, points[0], points[1]);
    if (first < 0) return false;
    for (let i = 2; i < points.length; i += 2) {
      if (copyAt(pattern, points[i], points[i + 1]) !== first) return false;
    }
    return true;
  });
}

/** An outline may be moved so far by easing it, in mm: more than its deviation and what film is cut back together. */
const EASED_BY_MM = 2;

/**
 * Traced outlines eased, the same in every copy of the packet; all of them where the sheet is not folded. One copy is
 * shown by all, so what lies in the others alone is not eased.
 *
 * @param easeAll eases outlines
 */
export function easedOnFold<T extends Pick<Traced, 'shapes'>>(
  traced: T,
  pattern: SymmetryPattern | undefined,
  sheet: Sheet,
  job: Pick<Job, 'as' | 'tightestTurn' | 'margin'>,
  easeAll: (traced: T) => Eased,
): Eased {
  if (!pattern) return easeAll(traced);
  const isFree = job.as === 'mask';
  const { tightestTurn } = job;
  const copy = evenCopy(pattern);
  const isTurned = pattern.beside === 'turned';
  const eased = easeAll(
    isTurned ? traced : { ...traced, shapes: shownBy(traced.shapes, pattern, copy, isFree) },
  );
  const folded = { isFree, tightestTurn, inside: insideOfMargin(sheet, job.margin) };
  const shapes = firstOf(begunElsewhere(pattern), (each) =>
    symmetricShapes(eased.shapes, { ...folded, pattern: each }, copy),
  );
  if (!shapes) return eased;
  const outlines = shapes.flatMap(outlinesOf);
  return {
    ...eased,
    shapes,
    curves: outlines.reduce((sum, { straight }) => sum + straight.length, 0),
    corners: outlines.reduce((sum, { corner }) => sum + corner.reduce((a, b) => a + b, 0), 0),
  };
}

/** What is first made of one of them. */
function firstOf<T, V>(all: readonly T[], make: (each: T) => V | undefined): V | undefined {
  for (const each of all) {
    const made = make(each);
    if (made !== undefined) return made;
  }
  return undefined;
}

/** The shapes without the outlines that a copy shows nothing of, but for what surrounds a mask. */
function shownBy(
  shapes: readonly Shape[],
  pattern: SymmetryPattern,
  copy: number,
  isFree: boolean,
): Shape[] {
  const isShown = (outline: Outline): boolean =>
    !isBeyondMirror(outline, pattern, copy, EASED_BY_MM);
  const around = isFree ? largest(shapes) : undefined;
  return shapes.flatMap((shape) => {
    const holes = shape.holes.filter(isShown);
    const isKept = shape === around || holes.length > 0 || isShown(shape.outer);
    return isKept ? [{ ...shape, holes }] : [];
  });
}

/** A copy in the middle of a strip: at its ends curves are eased into what lies beyond. */
const evenCopy = ({ centre, layers }: SymmetryPattern): number =>
  !centre && layers > 2 ? layers >> 1 : 0;
