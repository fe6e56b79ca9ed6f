import type { Sheet } from '../../settings/card.js';
import { counted } from '../../settings/words/counted.js';
import type { Job } from '../../settings/job.js';
import { imageOf } from '../../geometry/fold-pattern.js';
import type { Point } from '../../geometry/shape.js';
import type { Packet, PacketCut } from '../../stages/packet/packet.js';
import { foldingSteps, type FoldingStep } from './folding-steps.js';
import { BOLD, printed, write } from './text.js';
import { head, polygon } from './packet-drawing.js';
import { paperFor, paperSizes } from './paper.js';
import type { Broken } from '../broken.js';
import { drawBroken } from './broken-rings.js';
import { paragraph } from './prose.js';
import { BROKEN_INK, HELP, INK, POINTS_PER_MM, SOFT_INK, type Pdf } from './print.js';
import { printable, sizeInWords } from './wording.js';

/** What the pages of a folded sheet are made from. */
interface FoldedPlan {
  readonly name: string;
  readonly says?: string;
  readonly packet: Packet;
  readonly sheet: Sheet;
  readonly job: Pick<Job, 'paper' | 'tool' | 'as' | 'cuttingSpeed'>;
  readonly locale: string;
  readonly broken?: Broken;
}

/** In mm, from the page's edges and between what stands on it; type in points. By eye. */
const EDGE_MM = 16;
const [TITLE_Y_MM, SIZE_Y_MM, WARNING_Y_MM, BODY_Y_MM] = [21, 27, 31.5, 36];
const [TITLE_POINTS, SIZE_POINTS, HEADING_POINTS, TEXT_POINTS, SMALL_POINTS] = [16, 9.5, 11, 9, 8];
const [GUTTER_MM, AFTER_MM, HEADING_MM] = [8, 5, 6];
/** Figures side by side; the height of a folding step's, in mm. */
const [STEPS_ACROSS, STEP_HIGH_MM] = [2, 58];
/** Pictures of the opened sheet side by side, and on a page at most. */
const [LOOKS_ACROSS, MOST_LOOKS] = [3, 12];
const [CUT, NEW] = ['#d5d5da', '#4a6076'];
/** The share of its room that a drawing fills: of a folding step, and of the finished packet, which is smaller. */
const SHARES = { step: 0.92, packet: 0.6 } as const;
const shareOf = (isPacket: boolean): number => (isPacket ? SHARES.packet : SHARES.step);
/** The arrow of a fold: how far it is bowed, as a share of its length, its line and its head in mm on paper. */
const ARROW = { bow: 0.22, lineMm: 0.45, headMm: 2.6 } as const;
/** A ring for glue, in mm on paper. */
const GLUE = { radiusMm: 1.6, lineMm: 0.4 } as const;
/** From a picture to its caption and from a caution to the next, and the line round a picture, in mm. */
const [CAPTION_MM, CAUTION_GAP_MM, FRAME_MM] = [4.5, 0.6, 0.2];
/** A sheet is a long strip from so many times as wide as it is high. */
const LONG = 1.8;
/** Lines of the figures, in mm on paper. */
const [EDGE_LINE_MM, FOLD_LINE_MM] = [0.25, 0.3];

/**
 * The usual dash patterns of paper folding, in mm on paper: a valley fold in dashes, a mountain fold in dashes and two
 * dots. The open convention is that of Yoshizawa and Randlett (A. Yoshizawa, 1954; S. Randlett, "The Art of Origami",
 * 1961), here from memory.
 */
const DASHES = { valley: [2.4, 1.2], mountain: [2.4, 0.8, 0.3, 0.8, 0.3, 0.8] } as const;

/** Common practice, no source. */
const OPENING =
  'Unfold gently. To make it lie flat crease every fold the other way, under your thumbnail or a bone folder, or press it under a book overnight; no iron on spunbonded sheet. Put low-tack repositionable glue where the sheet lifts: at the blue rings of the last picture, in the middle and at the points of long tongues. Let it dry until it is only tacky.';
const ONE_BY_ONE =
  'Cut one, open it, look, fold it again along the same creases, then cut the next: the pictures show what you should see. Enter with the blades wide open where an arrow points, cut deep in the jaws where the packet is thick, and turn the packet, not the scissors. What falls out are masks as many as there are layers: keep those you like.';
const CAUTIONS: readonly string[] = [
  'Scissors and knives cut fingers: hold the packet well beside the cut, close the scissors before you lay them down, hand them over by the blades’ end closed in your fist.',
  'Thick packets slip: hold them with two clips, cut in small bites, and do not force the blades. A knife goes through layers in several light passes, on a mat, along a metal ruler where it is straight, away from the hand that holds.',
  'No heat on spunbonded sheet, and no hot tip on folded layers: they shrink and melt together, and give off fumes.',
  'Follow your tool’s own manual and your local rules; they go before anything here.',
];

/** The pages to fold and cut by: how the sheet is folded, what it looks like opened after each cut, and cautions. */
export async function foldedPlanPdf(plan: FoldedPlan): Promise<Uint8Array> {
  const { name, says = '', job, locale } = plan;
  const page = paperSizes[paperFor(job.paper, locale)];
  return printed(page, `${name}${says}, folding`, (pdf) => {
    drawFoldingPage(pdf, page, plan);
    for (const looks of pagesOf(openedViews(plan.packet.packetCuts))) {
      pdf.addPage({
        size: [page.widthMm * POINTS_PER_MM, page.heightMm * POINTS_PER_MM],
        margin: 0,
      });
      drawLookPage(pdf, page, plan, looks);
    }
  });
}

function drawFoldingPage(
  pdf: Pdf,
  page: Sheet,
  { name, says = '', packet, sheet, job, broken }: FoldedPlan,
): void {
  const widest = page.widthMm - 2 * EDGE_MM;
  writeTitle(
    pdf,
    `${printable(name, 'Stencil')}${says}: folding`,
    `${sizeInWords(sheet)}, ${counted(packet.layers, 'layer')} of ${packet.thicknessMm} mm`,
    widest,
    broken && `${broken.says}.`,
  );
  const steps = foldingSteps(packet.pattern, sheet);
  const wide = (widest - GUTTER_MM * (STEPS_ACROSS - 1)) / STEPS_ACROSS;
  let y = BODY_Y_MM;
  for (let first = 0; first < steps.length; first += STEPS_ACROSS) {
    const row = steps.slice(first, first + STEPS_ACROSS);
    const bottoms = row.map((step, i) =>
      drawStep(
        pdf,
        step,
        first + i + 1,
        { x: EDGE_MM + i * (wide + GUTTER_MM), y, widthMm: wide },
        first + i === steps.length - 1,
      ),
    );
    y = Math.max(...bottoms) + AFTER_MM;
  }
  y = drawLegend(pdf, y) + AFTER_MM;
  y = part(
    pdf,
    'Creep',
    `The outer layers come out about ${packet.creepMm.toFixed(1)} mm longer at a fold than the inner ones (thickness × layers × 1.57). Crease each fold sharply before the next one, and lay the template with its fold on the fold. The limits of ${toolWord(job.tool)} are set so wide that it does no harm.`,
    y,
    widest,
  );
  y = part(pdf, 'Cutting', ONE_BY_ONE, y, widest);
  part(pdf, 'Opening', OPENING, y, widest);
}

const toolWord = (tool: Job['tool']): string =>
  tool === 'scissors' ? 'the scissors' : 'the knife';

function writeTitle(
  pdf: Pdf,
  title: string,
  size: string,
  widestMm: number,
  warning: string | undefined,
): void {
  const line = { x: EDGE_MM, align: 'left', widestMm } as const;
  write(pdf, { ...line, text: title, baseline: TITLE_Y_MM, points: TITLE_POINTS, font: BOLD });
  write(pdf, { ...line, text: size, baseline: SIZE_Y_MM, points: SIZE_POINTS, colour: SOFT_INK });
  if (warning === undefined) return;
  const told = { ...line, baseline: WARNING_Y_MM, points: SMALL_POINTS, colour: BROKEN_INK };
  write(pdf, { ...told, text: warning });
}

function part(pdf: Pdf, heading: string, text: string, y: number, widthMm: number): number {
  write(pdf, {
    text: heading,
    x: EDGE_MM,
    baseline: y,
    points: HEADING_POINTS,
    font: BOLD,
    align: 'left',
  });
  return (
    paragraph(pdf, text, { x: EDGE_MM, y: y + HEADING_MM - 1, widthMm }, TEXT_POINTS) + AFTER_MM / 2
  );
}

interface FigureBox {
  readonly x: number;
  readonly y: number;
  readonly widthMm: number;
}

/** Draws one step and what it says. Gives the baseline below. */
function drawStep(
  pdf: Pdf,
  step: FoldingStep,
  number: number,
  box: FigureBox,
  isPacket: boolean,
): number {
  const xs = step.outline.map(({ x }) => x);
  const ys = step.outline.map(({ y }) => y);
  const [left, top] = [Math.min(...xs), Math.min(...ys)];
  const scale = Math.min(
    box.widthMm / (Math.max(...xs) - left),
    STEP_HIGH_MM / (Math.max(...ys) - top),
  );
  const scaled = scale * shareOf(isPacket);
  pdf.save().scale(POINTS_PER_MM).translate(box.x, box.y).scale(scaled).translate(-left, -top);
  polygon(
    pdf,
    step.outline.flatMap(({ x, y }) => [x, y]),
  );
  pdf.lineWidth(EDGE_LINE_MM / scaled).fillAndStroke('#f6f6f8', INK);
  for (const { from, to, is } of step.folds) {
    pdf
      .moveTo(from.x, from.y)
      .lineTo(to.x, to.y)
      .lineWidth(FOLD_LINE_MM / scaled);
    dashed(
      pdf,
      DASHES[is].map((mm) => mm / scaled),
    );
    pdf.stroke(INK).undash();
  }
  if (step.arrow) drawArrow(pdf, step.arrow, scaled);
  pdf.restore();
  const below = box.y + STEP_HIGH_MM * shareOf(isPacket) + 5;
  return paragraph(
    pdf,
    `${number}. ${step.says}`,
    {
      x: box.x,
      y: Math.min(below, box.y + scaled * (Math.max(...ys) - top) + 5),
      widthMm: box.widthMm,
    },
    TEXT_POINTS,
  );
}

/** A pattern of dashes and gaps; the library's types know a single one. */
function dashed(pdf: Pdf, lengths: readonly number[]): void {
  (pdf as unknown as { dash(lengths: readonly number[]): void }).dash(lengths);
}

/** A bowed arrow from where a part lies to where it comes. */
function drawArrow(
  pdf: Pdf,
  { from, to }: { readonly from: Point; readonly to: Point },
  scale: number,
): void {
  const [dx, dy] = [to.x - from.x, to.y - from.y];
  const bow = { x: (from.x + to.x) / 2 + dy * ARROW.bow, y: (from.y + to.y) / 2 - dx * ARROW.bow };
  pdf.moveTo(from.x, from.y).quadraticCurveTo(bow.x, bow.y, to.x, to.y);
  pdf.lineWidth(ARROW.lineMm / scale).stroke(HELP);
  const length = Math.hypot(to.x - bow.x, to.y - bow.y) || 1;
  head(pdf, to, { x: (to.x - bow.x) / length, y: (to.y - bow.y) / length }, ARROW.headMm / scale);
}

function drawLegend(pdf: Pdf, y: number): number {
  let x = EDGE_MM;
  for (const [is, text] of [
    ['valley', 'valley fold: it lies in front of you'],
    ['mountain', 'mountain fold: it lies behind'],
  ] as const) {
    pdf.save().scale(POINTS_PER_MM);
    pdf
      .moveTo(x, y - 1)
      .lineTo(x + 14, y - 1)
      .lineWidth(FOLD_LINE_MM);
    dashed(pdf, DASHES[is]);
    pdf.stroke(INK).undash();
    pdf.restore();
    write(pdf, {
      text,
      x: x + 17,
      baseline: y,
      points: SMALL_POINTS,
      align: 'left',
      colour: SOFT_INK,
    });
    x += 80;
  }
  return y + 3;
}

/** The sheet opened after some cuts: those before, and those that are new. */
interface OpenedView {
  readonly before: readonly PacketCut[];
  readonly now: readonly PacketCut[];
  readonly isLast: boolean;
}

/** A look a cut, or a group of cuts where they are many. */
function openedViews(cuts: readonly PacketCut[]): OpenedView[] {
  const group = Math.max(1, Math.ceil(cuts.length / MOST_LOOKS));
  const looks: OpenedView[] = [];
  for (let first = 0; first < cuts.length; first += group) {
    const now = cuts.slice(first, first + group);
    looks.push({ before: cuts.slice(0, first), now, isLast: first + group >= cuts.length });
  }
  return looks;
}

function pagesOf(looks: readonly OpenedView[]): (readonly OpenedView[])[] {
  return looks.length === 0 ? [] : [looks];
}

function drawLookPage(
  pdf: Pdf,
  page: Sheet,
  { name, says = '', packet, sheet, broken }: FoldedPlan,
  looks: readonly OpenedView[],
): void {
  const widest = page.widthMm - 2 * EDGE_MM;
  writeTitle(
    pdf,
    `${printable(name, 'Stencil')}${says}: open it and look`,
    'The opened sheet after each cut; dark is what has just fallen out.',
    widest,
    broken && `${broken.says}.`,
  );
  const wide = (widest - GUTTER_MM * (LOOKS_ACROSS - 1)) / LOOKS_ACROSS;
  // A long strip lies across the page.
  const isLong = sheet.widthMm > LONG * sheet.heightMm;
  const across = isLong ? 1 : LOOKS_ACROSS;
  const scale = isLong
    ? Math.min(widest / sheet.widthMm, 56 / sheet.heightMm)
    : wide / Math.max(sheet.widthMm, sheet.heightMm);
  const high = scale * sheet.heightMm;
  let y = BODY_Y_MM;
  looks.forEach((look, i) => {
    const column = i % across;
    if (i > 0 && column === 0) y += high + 9;
    const x = EDGE_MM + column * (wide + GUTTER_MM);
    drawLook(pdf, { packet, broken }, look, { x, y }, scale);
    write(pdf, {
      text: saysOf(look),
      x,
      baseline: y + high + CAPTION_MM,
      points: TEXT_POINTS,
      align: 'left',
    });
  });
  y += high + 14;
  write(pdf, {
    text: 'With care',
    x: EDGE_MM,
    baseline: y,
    points: HEADING_POINTS,
    font: BOLD,
    align: 'left',
  });
  y += HEADING_MM - 1;
  for (const text of CAUTIONS) {
    write(pdf, { text: '•', x: EDGE_MM, baseline: y, points: TEXT_POINTS, align: 'left' });
    y =
      paragraph(pdf, text, { x: EDGE_MM + 3, y, widthMm: widest - 3 }, TEXT_POINTS) +
      CAUTION_GAP_MM;
  }
}

function saysOf({ now, isLast }: OpenedView): string {
  const [first, last] = [now[0].number, now[now.length - 1].number];
  const cuts = first === last ? `after cut ${first}` : `after cuts ${first} to ${last}`;
  return isLast ? `${cuts}: done; rings: glue` : cuts;
}

function drawLook(
  pdf: Pdf,
  { packet, broken }: { readonly packet: Packet; readonly broken: Broken | undefined },
  { before, now, isLast }: OpenedView,
  at: Point,
  scale: number,
): void {
  pdf.save().scale(POINTS_PER_MM).translate(at.x, at.y).scale(scale);
  const { from, to } = packet.pattern;
  pdf
    .rect(from.x, from.y, to.x - from.x, to.y - from.y)
    .lineWidth(FRAME_MM / scale)
    .fillAndStroke('#ffffff', SOFT_INK);
  for (const [cuts, colour] of [
    [before, CUT],
    [now, NEW],
  ] as const) {
    if (cuts.length === 0) continue;
    for (const copy of packet.pattern.copies) {
      for (const { region } of cuts) {
        for (const loop of [region.outer, ...region.holes]) polygon(pdf, unfoldedLoop(loop, copy));
      }
    }
    pdf.fill(colour, 'even-odd');
  }
  if (isLast) {
    for (const { x, y } of packet.tackDabs) pdf.circle(x, y, GLUE.radiusMm / scale);
    if (packet.tackDabs.length > 0) pdf.lineWidth(GLUE.lineMm / scale).stroke(HELP);
    drawBroken(pdf, broken, scale);
  }
  pdf.restore();
}

function unfoldedLoop(loop: Float64Array, copy: Parameters<typeof imageOf>[0]): number[] {
  const places: number[] = [];
  for (let i = 0; i < loop.length; i += 2) {
    const { x, y } = imageOf(copy, { x: loop[i], y: loop[i + 1] });
    places.push(x, y);
  }
  return places;
}
