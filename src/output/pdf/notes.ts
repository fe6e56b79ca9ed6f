import type { Page } from './page.js';
import { drawBar, IMPERIAL, METRIC } from './check-bar.js';
import { BOLD, REGULAR, widthMm, write } from './lettering.js';
import { POINTS_PER_MM, SOFT_INK, type Pdf } from './print.js';

export const MEASURE = 'Measure these: print at 100 %, no scaling.';
export const CAUTIONS =
  "Hot tips, hot glue and blades hurt. Melting film gives off fumes: fresh air, heat-proof surface. Unplug and let cool. Follow your tool's manual and local rules.";

/** What the page says about the stencil. */
export interface Notes {
  readonly name: string;
  readonly size: string;
  /** How the drawing's marks are read, where there is room to say so. */
  readonly marks?: string;
}

/**
 * What heading and foot take in large type, in mm, from the baselines below; without them the notes are set small and
 * close.
 */
const ROOMY_HEAD_MM = 20;
const ROOMY_FOOT_MM = 34;
const FOOT_WITH_MARKS_MM = 40;

function isRoomy({ head, foot }: Page): boolean {
  return head.heightMm >= ROOMY_HEAD_MM && foot.heightMm >= ROOMY_FOOT_MM;
}

/** What ticks outside the sheet's corners take, in mm: 1.5 mm of air, 3 mm of tick, and a little. */
const TICKS_MM = 5;

/** Whether short ticks outside the sheet's corners would lie on the page, and clear of the text. */
export function hasRoomForTicks(page: Page): boolean {
  return isRoomy(page) && Math.min(page.sheetAt.x, page.sheetAt.y) >= TICKS_MM;
}

/** Writes name, size, check bars and cautions into the page's head and foot. */
export function writeNotes(pdf: Pdf, page: Page, notes: Notes): void {
  pdf.save();
  if (page.turned) pdf.translate(0, page.heightMm * POINTS_PER_MM).rotate(-90);
  if (isRoomy(page)) writeRoomily(pdf, page, notes);
  else writeTightly(pdf, page, notes);
  pdf.restore();
}

function frameWidth(page: Page): number {
  return page.turned ? page.heightMm : page.widthMm;
}

/**
 * From the edge of the page to the text, in mm, for printers that leave 5 mm white; and between the two bars, for their
 * labels.
 */
const EDGE_MM = 6;
const BAR_GAP_MM = 16;

function writeRoomily(pdf: Pdf, page: Page, { name, size, marks }: Notes): void {
  const { head, foot } = page;
  const width = frameWidth(page);
  const x = width / 2;
  const widestMm = width - 2 * EDGE_MM;
  const under = head.y + head.heightMm;
  write(pdf, { text: name, x, baseline: under - 13, points: 15, font: BOLD, widestMm });
  write(pdf, { text: size, x, baseline: under - 7.5, points: 9.5, colour: SOFT_INK, widestMm });

  let left = x - (METRIC.lengthMm + BAR_GAP_MM + IMPERIAL.lengthMm) / 2;
  for (const bar of [METRIC, IMPERIAL]) {
    drawBar(pdf, bar, left, foot.y + 12);
    const middle = left + bar.lengthMm / 2;
    write(pdf, { text: bar.label, x: middle, baseline: foot.y + 16.5, points: 9 });
    left += bar.lengthMm + BAR_GAP_MM;
  }
  write(pdf, { text: MEASURE, x, baseline: foot.y + 23, points: 8.5, colour: SOFT_INK, widestMm });
  if (marks !== undefined && foot.heightMm >= FOOT_WITH_MARKS_MM)
    write(pdf, { text: marks, x, baseline: foot.y + 30, points: 7.5, colour: SOFT_INK, widestMm });
  const last = foot.y + foot.heightMm - 3;
  write(pdf, { text: CAUTIONS, x, baseline: last, points: 7, colour: SOFT_INK, widestMm });
}

function writeTightly(pdf: Pdf, page: Page, { name, size }: Notes): void {
  const { head, foot } = page;
  const width = frameWidth(page);
  const x = width / 2;
  const widestMm = width - 2 * EDGE_MM;
  const above = head.y + head.heightMm - 2.4;
  const heading = { baseline: above, points: 8, font: BOLD, align: 'left' } as const;
  const sizeWidth = widthMm(pdf, { text: size, points: 8 });
  const nameWidth = Math.min(widthMm(pdf, { text: name, ...heading }), widestMm - sizeWidth - 4);
  const start = x - (nameWidth + 4 + sizeWidth) / 2;
  write(pdf, { ...heading, text: name, x: start, widestMm: nameWidth });
  write(pdf, { ...heading, text: size, x: start + nameWidth + 4, font: REGULAR, colour: SOFT_INK });

  let left = x - 84;
  const baseline = foot.y + 3.5;
  for (const { bar, says } of [
    { bar: METRIC, says: METRIC.label },
    { bar: IMPERIAL, says: `${IMPERIAL.label}   ${MEASURE}` },
  ]) {
    drawBar(pdf, bar, left, baseline);
    const at = left + bar.lengthMm + 2;
    write(pdf, { text: says, x: at, baseline, points: 6.5, align: 'left' });
    left = at + 16;
  }
  write(pdf, { text: CAUTIONS, x, baseline: foot.y + 6.5, points: 6, colour: SOFT_INK, widestMm });
}
