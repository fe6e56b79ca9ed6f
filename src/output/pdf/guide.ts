import { drawLeaders, writeNumbers } from './piece-numbers.js';
import type { Sheet } from '../../settings/card.js';
import type { Shape } from '../../geometry/shape.js';
import type { CutPlan, PlannedPiece } from '../../stages/plan/plan.js';
import { placeNumbers, type Reserved } from './numbering.js';
import { overlapsOf } from './overlaps.js';
import { roundMm } from '../pen.js';
import { HAIRLINE_MM, HELP, INK, LINE_MM, pathOfShapes, type Pdf } from './print.js';
import type { SheetDrawing } from './true-size.js';

const PALE = '#e9e9ec';
/**
 * Of a dot across, and the radius of a ring round where a cut begins, in mm: chosen by eye, the dot three lines wide,
 * the ring plainly more.
 */
const CORNER_DOT_MM = 0.75;
const START_MM = 0.7;
/** A ring's line, in mm: by eye, plainly more than a hairline, less than a cut. */
const RING_MM = HAIRLINE_MM * 1.6;
/**
 * A ruler's line runs inside the piece, which is not kept, so far off the cut that the two lines stay apart; its ticks
 * go as far beyond. In mm.
 */
const RULER_OFF_MM = 0.55;
const RULER_TICK_MM = 1.1;

/** How the drawing is read. */
export const MARKS =
  'Dark: cut. Dot: stop and turn. Crossing lines: cut a little past the corner. Blue is not cut: number, the order; ring, begin and end; line with ticks, ruler.';

/**
 * The drawing to follow: what to cut in dark lines, and in blue, which is not cut, all that helps.
 *
 * @param reserved where no number is written beside its piece
 */
export function guideOf(
  openings: readonly Shape[],
  plan: CutPlan,
  sheet: Sheet,
  reserved: readonly Reserved[] = [],
): SheetDrawing {
  const numbers = placeNumbers(plan.pieces, openings, sheet, reserved);
  return {
    lines: (pdf) => {
      drawOpenings(pdf, openings);
      drawRulers(pdf, plan.pieces);
      drawStarts(pdf, plan.pieces);
      drawLeaders(pdf, numbers);
    },
    letters: (pdf) => writeNumbers(pdf, numbers),
  };
}

/** Openings pale, their outlines dark; a corner is a dot where the hand turns, or two cuts that cross. */
function drawOpenings(pdf: Pdf, openings: readonly Shape[]): void {
  if (openings.length === 0) return;
  pathOfShapes(pdf, openings);
  pdf.lineWidth(LINE_MM).lineJoin('round').fillAndStroke(PALE, INK, 'even-odd');
  const overlaps = overlapsOf(openings);
  dotCorners(pdf, openings, new Set(overlaps.map(({ from: { x, y } }) => `${x},${y}`)));
  if (overlaps.length === 0) return;
  for (const { from, to } of overlaps) pdf.moveTo(from.x, from.y).lineTo(to.x, to.y);
  pdf.lineWidth(LINE_MM).stroke(INK);
}

/** Small dots where the tip stops and turns: lines of no length with round ends (ISO 32000-1, 8.5.3.2). */
function dotCorners(pdf: Pdf, openings: readonly Shape[], crossed: ReadonlySet<string>): void {
  const dots = openings
    .flatMap(({ outer, holes }) => [outer, ...holes])
    .flatMap(({ coords, corner }) =>
      [...corner.keys()]
        .filter((curve) => corner[curve] === 1)
        .map((curve) => [coords[6 * curve], coords[6 * curve + 1]] as const),
    )
    .filter(([x, y]) => !crossed.has(`${x},${y}`));
  if (dots.length === 0) return;
  pdf.save().lineWidth(CORNER_DOT_MM).lineCap('round');
  for (const [x, y] of dots) pdf.moveTo(roundMm(x), roundMm(y)).lineTo(roundMm(x), roundMm(y));
  pdf.stroke(INK).restore();
}

/** A line beside each straight run, with a tick at either end: from here to here with the ruler. */
function drawRulers(pdf: Pdf, pieces: readonly PlannedPiece[]): void {
  const runs = pieces.flatMap((piece) => piece.runs);
  if (runs.length === 0) return;
  for (const { from, to, lengthMm } of runs) {
    const [dx, dy] = [(to.x - from.x) / lengthMm, (to.y - from.y) / lengthMm];
    const [inX, inY] = [-dy, dx];
    const [ax, ay] = [from.x + inX * RULER_OFF_MM, from.y + inY * RULER_OFF_MM];
    const [bx, by] = [to.x + inX * RULER_OFF_MM, to.y + inY * RULER_OFF_MM];
    pdf.moveTo(ax, ay).lineTo(bx, by);
    for (const { x, y } of [from, to])
      pdf.moveTo(x, y).lineTo(x + inX * RULER_TICK_MM, y + inY * RULER_TICK_MM);
  }
  pdf.lineWidth(HAIRLINE_MM).stroke(HELP);
}

function drawStarts(pdf: Pdf, pieces: readonly PlannedPiece[]): void {
  if (pieces.length === 0) return;
  for (const { start } of pieces) pdf.circle(start.x, start.y, START_MM);
  pdf.lineWidth(RING_MM).stroke(HELP);
}
