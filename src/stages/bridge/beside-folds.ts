import { insideOf, type FoldLine } from '../../geometry/fold-pattern.js';
import type { Point } from '../../geometry/shape.js';
import type { Tie } from './tie.js';

/** Of a tie that lies on its fold no more may be beyond the film than rounding, in mm. */
const ROUNDING_MM = 0.01;

/**
 * Strips over the slits that ties beside a fold leave once the sheet is opened: between such a tie and its mirror image
 * no blade has room. A tie that crosses a fold, or goes off from it, leaves none.
 *
 * @param folds of a strip, which are parallel: where folds meet, the strips over several of them would lie in one heap
 * @param openingMm the narrowest opening
 */
export function slitsAtFolds(
  ties: readonly Tie[],
  folds: readonly FoldLine[],
  openingMm: number,
): Tie[] {
  return ties.flatMap((tie) =>
    folds.flatMap((fold): Tie[] => {
      const { gapStart, gapEnd, widthMm } = tie;
      const off = [gapStart, gapEnd].map(({ x, y }) => insideOf(fold, x, y));
      const [nearest, furthest] = [Math.min(...off.map(Math.abs)), Math.max(...off.map(Math.abs))];
      const isBeside = off[0] * off[1] > 0 && furthest - nearest < widthMm / 2;
      const slitMm = 2 * furthest - widthMm;
      if (!isBeside || slitMm < ROUNDING_MM || 2 * nearest - widthMm >= openingMm) return [];
      return [
        { ...tie, ...alongFold(tie, fold), widthMm: 2 * furthest, followsNeck: true, plain: true },
      ];
    }),
  );
}

/** A tie's places, each moved square on to a fold. */
function alongFold({ start, end, gapStart, gapEnd }: Tie, fold: FoldLine) {
  const onFold = ({ x, y }: Point): Point => {
    const off = insideOf(fold, x, y);
    return { x: x - off * fold.normal.x, y: y - off * fold.normal.y };
  };
  return {
    start: onFold(start),
    end: onFold(end),
    gapStart: onFold(gapStart),
    gapEnd: onFold(gapEnd),
  };
}
