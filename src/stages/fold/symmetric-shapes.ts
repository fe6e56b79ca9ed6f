import { flatten } from '../../geometry/flatten.js';
import { copyAt, type FoldPattern } from '../../geometry/fold-pattern.js';
import type { Outline, Shape } from '../../geometry/shape.js';
import { signedArea } from '../../geometry/signed-area.js';
import type { Job } from '../../settings/job.js';
import type { Eased } from '../ease/ease.js';
import { withTightTurnsMarked } from '../../geometry/tight-turns.js';
import { unfoldedShapes } from '../../geometry/unfold-outlines.js';

/** How shapes are laid out on a folded sheet. */
export interface FoldedSheet {
  readonly pattern: FoldPattern;
  /** Whether what is kept is cut free all round, as a row of figures is. */
  readonly isFree: boolean;
  /** Mm; where a fold makes a tighter one, a corner is marked. */
  readonly tightestTurn: number;
}

/** The openings of the whole sheet as one copy of the packet shows them. */
export function symmetricShapes(
  shapes: readonly Shape[],
  { pattern, isFree, tightestTurn }: FoldedSheet,
  copy: number,
): Shape[] {
  const marked = (outline: Outline): Outline => withTightTurnsMarked(outline, tightestTurn);
  return opened(shapes, { pattern, isFree }, copy).map(({ outer, holes }) => ({
    outer: marked(outer),
    holes: holes.map(marked),
  }));
}

function opened(
  shapes: readonly Shape[],
  { pattern, isFree }: Omit<FoldedSheet, 'tightestTurn'>,
  copy: number,
): Shape[] {
  const isRow = isFree && pattern.kind === 'to-and-fro';
  if (!isRow) return unfoldedShapes(shapes.flatMap(outlinesOf), pattern, copy);
  // What surrounds a row lies beyond the folded strip, too: there it stays as it is.
  const around = largest(shapes);
  const inner = shapes.flatMap((shape) => (shape === around ? shape.holes : outlinesOf(shape)));
  return unfoldedShapes(inner, pattern, copy, around?.outer);
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

/** Eased outlines, the same in every copy of the packet; as they are where the sheet is not folded. */
export function evenOnFold<E extends Pick<Eased, 'shapes'>>(
  eased: E,
  pattern: FoldPattern | undefined,
  { as, tightestTurn }: Pick<Job, 'as' | 'tightestTurn'>,
): E {
  if (!pattern) return eased;
  const isFree = as === 'mask';
  return {
    ...eased,
    shapes: symmetricShapes(eased.shapes, { pattern, isFree, tightestTurn }, evenCopy(pattern)),
  };
}

/** A copy in the middle of a strip: at its ends curves are eased into what lies beyond. */
const evenCopy = ({ kind, layers }: FoldPattern): number =>
  kind === 'to-and-fro' ? layers >> 1 : 0;
