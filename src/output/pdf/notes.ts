import type { PageLayout } from './page.js';
import { drawBar, IMPERIAL, METRIC } from './check-bar.js';
import { BOLD, REGULAR, widthMm, write } from './text.js';
import { BROKEN_INK, INK, POINTS_PER_MM, SOFT_INK, type Pdf } from './print.js';

export const MEASURE = 'Measure these: print at 100 %, no scaling.';
export const CAUTIONS =
  "Hot tips, hot glue and blades hurt. Melting film gives off fumes: fresh air, heat-proof surface. Unplug and let cool. Follow your tool's manual and local rules.";

/** What the page says about the stencil. */
export interface Notes {
  readonly name: string;
  readonly size: string;
  /** What is to be looked at first, in a line of its own under the size. */
  readonly warning?: string;
  /** How the drawing's marks are read, where there is room to say so. */
  readonly marks?: string;
  /** What stands at its foot; the usual cautions unless set. */
  readonly cautions?: string;
}

/**
 * What heading and foot take in large type, in mm, from the baselines below; without them the notes are set small and
 * close.
 */
const ROOMY_HEAD_MM = 20;
const ROOMY_FOOT_MM = 34;
const FOOT_WITH_MARKS_MM = 40;
/**
 * In large type: points, and baselines in mm, of what stands above the sheet from its edge up, of what stands in the foot
 * from its top down, and of the cautions from the paper's edge up. By eye.
 */
const ROOMY = {
  name: { up: 13, points: 15 },
  size: { up: 7.5, points: 9.5 },
  warning: { up: 7.5, points: 8.5, lifts: 4.5 },
  barDown: 12,
  label: { down: 16.5, points: 9 },
  measure: { down: 23, points: 8.5 },
  marks: { down: 30, points: 7.5 },
  cautions: { up: 3, points: 7 },
};
/**
 * The same set small: name and size in one line, a gap between them; bars and labels in one line, which begins so far left
 * of the page's middle, a label taking so much of it. By eye.
 */
const TIGHT = {
  heading: { up: 2.4, points: 8, gapMm: 4 },
  warning: { up: 2.2, points: 6.5, lifts: 2.6 },
  bars: { down: 3.5, points: 6.5, fromMiddleMm: 84, toLabelMm: 2, labelMm: 16 },
  cautions: { down: 6.5, points: 6 },
};

function isRoomy({ head, foot }: PageLayout): boolean {
  return head.heightMm >= ROOMY_HEAD_MM && foot.heightMm >= ROOMY_FOOT_MM;
}

/** What ticks outside the sheet's corners take, in mm: 1.5 mm of air, 3 mm of tick, and a little. */
const TICKS_MM = 5;

/** Whether short ticks outside the sheet's corners would lie on the page, and clear of the text. */
export function hasRoomForTicks(page: PageLayout): boolean {
  return isRoomy(page) && Math.min(page.sheetAt.x, page.sheetAt.y) >= TICKS_MM;
}

/** Writes name, size, check bars and cautions into the page's head and foot. */
export function writeNotes(pdf: Pdf, page: PageLayout, notes: Notes): void {
  pdf.save();
  if (page.turned) pdf.translate(0, page.heightMm * POINTS_PER_MM).rotate(-90);
  if (isRoomy(page)) writeRoomily(pdf, page, notes);
  else writeTightly(pdf, page, notes);
  pdf.restore();
}

function frameWidth(page: PageLayout): number {
  return page.turned ? page.heightMm : page.widthMm;
}

/**
 * From the edge of the page to the text, in mm, for printers that leave 5 mm white; and between the two bars, for their
 * labels.
 */
const EDGE_MM = 6;
const BAR_GAP_MM = 16;

function writeRoomily(
  pdf: Pdf,
  page: PageLayout,
  { name, size, warning, marks, cautions = CAUTIONS }: Notes,
): void {
  const { head, foot } = page;
  const width = frameWidth(page);
  const x = width / 2;
  const widestMm = width - 2 * EDGE_MM;
  const under = head.y + head.heightMm;
  const centred = { x, colour: SOFT_INK, widestMm };
  const lifted = warning === undefined ? 0 : ROOMY.warning.lifts;
  const inHead = (
    text: string,
    line: { readonly up: number; readonly points: number },
    about = {},
  ): void =>
    write(pdf, { ...centred, text, baseline: under - line.up, points: line.points, ...about });
  const { name: first, size: second } = ROOMY;
  inHead(name, { ...first, up: first.up + lifted }, { font: BOLD, colour: INK });
  inHead(size, { ...second, up: second.up + lifted });
  if (warning !== undefined) inHead(warning, ROOMY.warning, { colour: BROKEN_INK });

  let left = x - (METRIC.lengthMm + BAR_GAP_MM + IMPERIAL.lengthMm) / 2;
  for (const bar of [METRIC, IMPERIAL]) {
    drawBar(pdf, bar, left, foot.y + ROOMY.barDown);
    const middle = left + bar.lengthMm / 2;
    const baseline = foot.y + ROOMY.label.down;
    write(pdf, { text: bar.label, x: middle, baseline, points: ROOMY.label.points });
    left += bar.lengthMm + BAR_GAP_MM;
  }
  const inFoot = (text: string, line: { readonly down: number; readonly points: number }): void =>
    write(pdf, { ...centred, text, baseline: foot.y + line.down, points: line.points });
  inFoot(MEASURE, ROOMY.measure);
  if (marks !== undefined && foot.heightMm >= FOOT_WITH_MARKS_MM) inFoot(marks, ROOMY.marks);
  const last = foot.y + foot.heightMm - ROOMY.cautions.up;
  write(pdf, { ...centred, text: cautions, baseline: last, points: ROOMY.cautions.points });
}

function writeTightly(
  pdf: Pdf,
  page: PageLayout,
  { name, size, warning, cautions: told = CAUTIONS }: Notes,
): void {
  const { head, foot } = page;
  const width = frameWidth(page);
  const x = width / 2;
  const widestMm = width - 2 * EDGE_MM;
  const { up, points, gapMm } = TIGHT.heading;
  const under = head.y + head.heightMm;
  const above = under - up - (warning === undefined ? 0 : TIGHT.warning.lifts);
  const heading = { baseline: above, points, font: BOLD, align: 'left' } as const;
  const sizeWidth = widthMm(pdf, { text: size, points });
  const nameWidth = Math.min(
    widthMm(pdf, { text: name, ...heading }),
    widestMm - sizeWidth - gapMm,
  );
  const start = x - (nameWidth + gapMm + sizeWidth) / 2;
  write(pdf, { ...heading, text: name, x: start, widestMm: nameWidth });
  write(pdf, {
    ...heading,
    text: size,
    x: start + nameWidth + gapMm,
    font: REGULAR,
    colour: SOFT_INK,
  });
  if (warning !== undefined) {
    const { up: warningUp, points: small } = TIGHT.warning;
    const at = { x, baseline: under - warningUp, points: small, widestMm };
    write(pdf, { ...at, text: warning, colour: BROKEN_INK });
  }

  const { bars, cautions } = TIGHT;
  let left = x - bars.fromMiddleMm;
  const baseline = foot.y + bars.down;
  for (const { bar, says } of [
    { bar: METRIC, says: METRIC.label },
    { bar: IMPERIAL, says: `${IMPERIAL.label}   ${MEASURE}` },
  ]) {
    drawBar(pdf, bar, left, baseline);
    const at = left + bar.lengthMm + bars.toLabelMm;
    write(pdf, { text: says, x: at, baseline, points: bars.points, align: 'left' });
    left = at + bars.labelMm;
  }
  const last = { baseline: foot.y + cautions.down, points: cautions.points };
  write(pdf, { ...last, text: told, x, colour: SOFT_INK, widestMm });
}
