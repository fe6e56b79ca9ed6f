import type { Sheet } from '../../../settings/card.js';
import type { Point } from '../../../geometry/shape.js';
import type { GlueStroke } from '../../../stages/strokes/strokes.js';
import { roundMm } from '../../pen.js';
import { BOLD, write } from '../text.js';
import { HELP, INK, type Pdf } from '../print.js';
import type { SheetDrawing } from '../true-size.js';

/** The bead's place: grey that a line and a number on it are still seen on. */
const BEAD = '#dcdce1';
/** The line in the middle, mm: a little more than what is cut along, to be seen through glass. */
const MIDDLE_MM = 0.35;
/** Radii of the dot where a stroke begins and of one where the hand stops and turns, mm. By eye. */
const START_MM = 1;
const CORNER_MM = 0.5;
/** An arrow's length and half its width, how far from the start it stands, and from one to the next, mm. By eye. */
const ARROW = { longMm: 3, wideMm: 1.2, firstMm: 6, everyMm: 90 };
const POINTS = 8;
/** From the dot's middle to the number's, mm, nearest first; and how far it keeps off lines and other numbers. */
const AWAY_MM = [3, 3.8, 4.6, 5.6, 7];
const OFF_LINE_MM = 1.9;
const OFF_NUMBER_MM = 3.6;
/** Directions in which it is tried: less than a number's width from one to the next. */
const DIRECTIONS = 16;
/** From a number's middle down to its baseline, mm. */
const DROP_MM = 1;
/** A dot is drawn as a line of this length, mm; what sums of shares may be off by in binary. */
const SHORTEST_MM = 0.01;
const ROUNDING = 1e-6;
/** What stands nearer to the sheet's edge than this is no place for a number, mm. */
const EDGE_MM = 2;

/** How the drawing is read. */
export const GLUE_MARKS =
  'Dark line: the middle of the glue, for the nozzle to follow. Grey: how wide it lies. Blue: number, the order; dot, begin; arrow, which way. Dark dot: stop and turn.';

/** The strokes to follow, on the sheet. */
export function glueGuide(
  strokes: readonly GlueStroke[],
  beadWidth: number,
  sheet: Sheet,
): SheetDrawing {
  const numbers = placeNumbers(strokes, sheet);
  return {
    lines: (pdf) => {
      drawBeads(pdf, strokes, beadWidth, BEAD);
      drawMiddles(pdf, strokes);
      for (const stroke of strokes) drawArrows(pdf, stroke);
      for (const { x, y } of strokes) pdf.circle(x[0], y[0], START_MM);
      if (strokes.length > 0) pdf.fill(HELP);
    },
    letters: (pdf) => {
      for (const { number, at } of numbers)
        write(pdf, {
          text: String(number),
          x: at.x,
          baseline: at.y + DROP_MM,
          points: POINTS,
          font: BOLD,
          colour: HELP,
        });
    },
  };
}

/** Strokes as wide as the bead. */
export function drawBeads(
  pdf: Pdf,
  strokes: readonly GlueStroke[],
  beadWidth: number,
  colour: string,
): void {
  if (strokes.length === 0) return;
  for (const stroke of strokes) pathAlong(pdf, stroke);
  pdf.lineWidth(beadWidth).lineCap('round').lineJoin('round').stroke(colour);
}

function drawMiddles(pdf: Pdf, strokes: readonly GlueStroke[]): void {
  if (strokes.length === 0) return;
  for (const stroke of strokes) pathAlong(pdf, stroke);
  pdf.lineWidth(MIDDLE_MM).lineCap('round').lineJoin('round').stroke(INK);
  const corners = strokes.flatMap(({ x, y, corner }) =>
    [...corner.keys()].filter((i) => corner[i] === 1).map((i) => [x[i], y[i]] as const),
  );
  for (const [x, y] of corners) pdf.circle(x, y, CORNER_MM);
  if (corners.length > 0) pdf.fill(INK);
}

/** A stroke's curves as the document's path, in mm. */
export function pathAlong(pdf: Pdf, { curves }: GlueStroke): void {
  curves.forEach((curve, k) => {
    const [x0, y0, x1, y1, x2, y2, x3, y3] = Array.from(curve, roundMm);
    if (k === 0) pdf.moveTo(x0, y0);
    // A line of no length would not be drawn with round ends by all readers.
    if (curves.length === 1 && x0 === x3 && y0 === y3) pdf.lineTo(x3 + SHORTEST_MM, y3);
    else pdf.bezierCurveTo(x1, y1, x2, y2, x3, y3);
  });
}

function drawArrows(pdf: Pdf, { x, y, lengthMm, kind }: GlueStroke): void {
  if (kind === 'dot') return;
  const first = Math.min(ARROW.firstMm, lengthMm / 2);
  let [passed, next] = [0, first];
  for (let i = 1; i < x.length; i++) {
    const [dx, dy] = [x[i] - x[i - 1], y[i] - y[i - 1]];
    const step = Math.hypot(dx, dy);
    passed += step;
    if (passed < next || step === 0) continue;
    next += ARROW.everyMm;
    const [ux, uy] = [dx / step, dy / step];
    const { longMm, wideMm } = ARROW;
    const [bx, by] = [x[i] - ux * longMm, y[i] - uy * longMm];
    pdf
      .moveTo(x[i], y[i])
      .lineTo(bx - uy * wideMm, by + ux * wideMm)
      .lineTo(bx + uy * wideMm, by - ux * wideMm)
      .closePath()
      .fill(HELP);
  }
}

/** Where each stroke's number stands: near its start, off the lines and the other numbers as far as there is room. */
function placeNumbers(
  strokes: readonly GlueStroke[],
  { widthMm, heightMm }: Sheet,
): { readonly number: number; readonly at: Point }[] {
  const placed: { number: number; at: Point }[] = [];
  for (const { number, x, y } of strokes) {
    const [startX, startY] = [x[0], y[0]];
    // Rather behind the start than beside the line.
    const back = Math.atan2(startY - y[Math.min(8, y.length - 1)], startX - x[Math.min(8, x.length - 1)]); // prettier-ignore
    const candidates = AWAY_MM.flatMap((away) =>
      Array.from({ length: DIRECTIONS }, (_, k) => {
        const turned = (k + 1) >> 1;
        const turn = back + ((k % 2 === 0 ? 1 : -1) * turned * 2 * Math.PI) / DIRECTIONS;
        return { x: startX + away * Math.cos(turn), y: startY + away * Math.sin(turn) };
      }),
    ).filter((at) => at.x > EDGE_MM && at.x < widthMm - EDGE_MM && at.y > EDGE_MM && at.y < heightMm - EDGE_MM); // prettier-ignore
    let best: Point = { x: startX, y: startY };
    let most = -Infinity;
    for (const at of candidates) {
      const room =
        Math.min(1, offLines(at, strokes) / OFF_LINE_MM) +
        2 * Math.min(1, offNumbers(at, placed) / OFF_NUMBER_MM);
      // The first place with all its room wins; else the one that has most of it.
      if (room > most + ROUNDING) [most, best] = [room, at];
      if (most >= 3) break;
    }
    placed.push({ number, at: best });
  }
  return placed;
}

function offLines({ x, y }: Point, strokes: readonly GlueStroke[]): number {
  let least = Infinity;
  for (const stroke of strokes) {
    // Every other point: a millimetre apart.
    for (let i = 0; i < stroke.x.length; i += 2)
      least = Math.min(least, Math.hypot(stroke.x[i] - x, stroke.y[i] - y));
  }
  return least;
}

function offNumbers({ x, y }: Point, placed: readonly { readonly at: Point }[]): number {
  return placed.reduce(
    (least, { at }) => Math.min(least, Math.hypot(at.x - x, at.y - y)),
    Infinity,
  );
}
