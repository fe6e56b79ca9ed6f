import type { Sheet } from '../../../settings/card.js';
import type { Job } from '../../../settings/job.js';
import { BOLD, REGULAR, write } from '../text.js';
import { HELP, INK, SOFT_INK, type Pdf } from '../print.js';
import { printTrueSize } from '../true-size.js';
import { sizeInWords } from '../wording.js';

const TITLE = 'Practice page for lines of glue';
const MARKS =
  'Follow the lines under glass. When cold, measure the width, the narrowest gap that stayed open, the tightest clean turn.';
/** It fits beside its notes on letter and A4 upright, as the practice strip does. */
const SHEET: Sheet = { widthMm: 186, heightMm: 126 };
/** Never needed: it fits all papers. */
const TILE_OVERLAP_MM = 10;
/** In mm: a line, a tick across it, the radius of a start. */
const [LINE_MM, TICK_MM, START_MM] = [0.35, 2, 0.8];
/** Where headings and what is drawn begin from the left, mm; points of either label. */
const [HEADING_MM, LEFT_MM, POINTS] = [6, 42, 7.5];
/** From a heading's baseline to the words under it, mm. */
const UNDER_MM = 3.6;
/** Common practice, from memory, no source: speeds of a hand in mm a second, radii of turns in mm. */
const SPEEDS = [5, 10, 20];
const RADII = [1.5, 2, 2.5, 3, 4, 6];
/** Clear between two lines of the usual width, mm, and that width. */
const GAPS = [1, 1.5, 2, 3, 4, 6];
const BEAD_MM = 4;
/** Short lines to try starts and stops on: as many as fit beside each other. */
const STARTS = 6;
/** The rows' upper edges, mm, what is drawn in them, and from one thing to the next. */
const ROW = { widths: 10, gaps: 52, turns: 80, starts: 110 };
const [LONG_MM, BETWEEN_MM, GAP_LINE_MM, TURN_MM, START_LINE_MM, CELL_MM] = [
  130, 12, 16, 14, 15, 23,
];

/** Lines at three speeds, gaps, turns and starts to draw with glue, true to size. */
export async function gluePracticePdf(paper: Job['paper'], locale: string): Promise<Uint8Array> {
  const notes = { name: TITLE, size: sizeInWords(SHEET), marks: MARKS };
  const job = { paper, margin: 0, tileOverlap: TILE_OVERLAP_MM };
  return printTrueSize(
    { title: TITLE, notes, sheet: SHEET, job, locale },
    { lines: drawRows, letters: writeRows },
  );
}

function drawRows(pdf: Pdf): void {
  SPEEDS.forEach((speed, k) => {
    const y = ROW.widths + k * BETWEEN_MM;
    pdf.moveTo(LEFT_MM, y).lineTo(LEFT_MM + LONG_MM, y);
    for (let x = speed; x <= LONG_MM; x += speed)
      pdf.moveTo(LEFT_MM + x, y - TICK_MM).lineTo(LEFT_MM + x, y + TICK_MM);
  });
  GAPS.forEach((gap, k) => {
    const x = LEFT_MM + k * CELL_MM;
    for (const at of [x, x + BEAD_MM + gap]) pdf.moveTo(at, ROW.gaps).lineTo(at, ROW.gaps + GAP_LINE_MM); // prettier-ignore
  });
  RADII.forEach((radius, k) => {
    const [x, y] = [LEFT_MM + k * CELL_MM, ROW.turns];
    const bottom = y + TURN_MM - radius;
    // Half a circle by two quarters: the handle of a quarter is 0.5523 of its radius.
    const handle = QUARTER * radius;
    pdf.moveTo(x, y).lineTo(x, bottom);
    pdf.bezierCurveTo(x, bottom + handle, x + radius - handle, bottom + radius, x + radius, bottom + radius); // prettier-ignore
    pdf.bezierCurveTo(x + radius + handle, bottom + radius, x + 2 * radius, bottom + handle, x + 2 * radius, bottom); // prettier-ignore
    pdf.lineTo(x + 2 * radius, y);
  });
  for (let k = 0; k < STARTS; k++)
    pdf.moveTo(LEFT_MM + k * CELL_MM, ROW.starts).lineTo(LEFT_MM + k * CELL_MM + START_LINE_MM, ROW.starts); // prettier-ignore
  pdf.lineWidth(LINE_MM).lineCap('round').stroke(INK);
  for (let k = 0; k < SPEEDS.length; k++)
    pdf.circle(LEFT_MM, ROW.widths + k * BETWEEN_MM, START_MM);
  for (let k = 0; k < STARTS; k++) pdf.circle(LEFT_MM + k * CELL_MM, ROW.starts, START_MM);
  pdf.fill(HELP);
}

/** The length of a quarter circle's handles, in radii: 4/3 × (√2 − 1). */
const QUARTER = (4 / 3) * (Math.SQRT2 - 1);

/** From the foot of a thing to the baseline of its label, mm. */
const LABEL_DROP_MM = 4.5;

function writeRows(pdf: Pdf): void {
  heading(pdf, 'Widths', 'a tick a second', ROW.widths);
  SPEEDS.forEach((speed, k) => {
    label(pdf, `${speed} mm a second`, LEFT_MM, ROW.widths + k * BETWEEN_MM + LABEL_DROP_MM + 1);
  });
  heading(pdf, 'Gaps', `mm, of lines ${BEAD_MM} mm wide`, ROW.gaps + 2);
  GAPS.forEach((gap, k) => {
    label(pdf, String(gap), LEFT_MM + k * CELL_MM + 1, ROW.gaps + GAP_LINE_MM + LABEL_DROP_MM);
  });
  heading(pdf, 'Turns', 'mm radius, in the middle', ROW.turns + 2);
  RADII.forEach((radius, k) => {
    label(pdf, String(radius), LEFT_MM + k * CELL_MM + 1, ROW.turns + TURN_MM + LABEL_DROP_MM);
  });
  heading(pdf, 'Starts', 'and stops, without a blob', ROW.starts);
}

function heading(pdf: Pdf, text: string, says: string, baseline: number): void {
  const line = { x: HEADING_MM, points: POINTS, align: 'left' } as const;
  write(pdf, { ...line, text, baseline, font: BOLD });
  write(pdf, {
    ...line,
    text: says,
    baseline: baseline + UNDER_MM,
    font: REGULAR,
    colour: SOFT_INK,
  });
}

function label(pdf: Pdf, text: string, x: number, baseline: number): void {
  write(pdf, { text, x, baseline, points: POINTS, align: 'left', colour: SOFT_INK });
}
